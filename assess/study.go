package assess

import (
	"slices"

	"spanwright/structure"
)

// slim drops what nobody asks for after the run: an assessment may be kept for long.
func (s *structureStudy) slim() {
	for l := range s.levels {
		if structure.Level(l) != level {
			s.levels[l] = nil
		}
	}
	s.forces = nil
}

// Study is the whole machine at the level of stiffness on which deflections and
// frequencies are judged, ready to be asked about any pose. It may be used by
// several goroutines.
func (a *Assessment) Study() *structure.Study { return a.run.study.levels[level] }

// GridCounts is the number of poses along each axis of the grid over the
// travels, in which Results.Tool.Map is listed, the last axis running fastest.
func (a *Assessment) GridCounts() []int { return gridCounts(len(a.Machine.Axes)) }

// SagPoses are the poses of the grid at which the tool, loaded, sags most and least.
func (a *Assessment) SagPoses() (most, least []float64) {
	grid := a.run.study.maps[level]
	_, _, i, k := sags(grid)
	return slices.Clone(grid[i].Q), slices.Clone(grid[k].Q)
}

// SoftPose is the pose of the grid with the lowest natural frequency.
func (a *Assessment) SoftPose() []float64 { return slices.Clone(a.run.study.grid[a.run.study.worst]) }

// Sag is the downward deflection of the tool point at a place of the map, m.
func (p MapPoint) Sag() Number { return -p.Deflection[2] }

// Studies is the cache that the assessment was made with; nil for none.
func (a *Assessment) Studies() *structure.Cache { return a.run.opts.Studies }

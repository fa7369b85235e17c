package improve

import (
	"math"

	"spanwright/ledger"
)

// guardDistance moves a guard out to what its check asks for. Which guard is
// right remains the risk assessment's decision.
func guardDistance(s *situation, c ledger.Check) []proposal {
	guard := map[string][2]string{"safety.fence": {"fence_distance", "fence"}, "safety.light_curtain": {"curtain_distance", "light curtain"}, "safety.guard_distance": {"door_distance", "guard door"}}[c.Kind]
	if guard[0] == "" || c.Sense != ledger.AtMost || math.IsNaN(c.Value) {
		return nil
	}
	to := up(c.Value/s.goal(), step50)
	return []proposal{{
		Title: guard[1] + " at a distance of " + length(to), Why: "farther from the moving parts; its height is left as it is: the risk assessment decides on both",
		Edits: []Edit{{Path: "equipment.guards." + guard[0], Value: length(to)}}, Estimate: c.Value / to, By: "need over distance", cost: free,
	}}
}

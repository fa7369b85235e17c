package verification

import "fmt"

// Models merges the models of all packages: case id or topic -> model. A key
// that two packages claim is an error.
func Models() (map[string]Model, error) {
	sets := []map[string]Model{
		motionModels, driveModels, guideModels, frameModels, sectionModels,
		jointModels, standModels, equipModels, handoverModels, asbuiltModels, drawingModels,
	}
	all := map[string]Model{}
	for _, set := range sets {
		for key, model := range set {
			if _, twice := all[key]; twice {
				return nil, fmt.Errorf("two models for %q", key)
			}
			all[key] = model
		}
	}
	return all, nil
}

package improve

import (
	"math"

	"spanwright/ledger"
)

// guardDistance moves a guard out to what its check asks for. Which guard is
// right remains the risk assessment's decision.
func guardDistance(s *situation, c ledger.Check) []proposal {
	key := map[string]string{"safety.fence": "fence_distance", "safety.light_curtain": "curtain_distance", "safety.guard_distance": "door_distance"}[c.Kind]
	if key == "" || c.Sense != ledger.AtMost || math.IsNaN(c.Value) {
		return nil
	}
	to := up(c.Value/s.goal(), step50)
	return []proposal{{
		Title: "guard at a distance of " + length(to), Why: "farther from the moving parts; the risk assessment decides",
		Edits: []Edit{{Path: "equipment.guards." + key, Value: length(to)}}, Estimate: c.Value / to, By: "need over distance", cost: free,
	}}
}

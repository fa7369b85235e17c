package verification

// jointModels compute the cases of package joint.
var jointModels = map[string]Model{}

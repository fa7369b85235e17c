package verification

// handoverModels compute the cases of the hand-over pack.
var handoverModels = map[string]Model{}

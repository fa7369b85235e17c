package verification

// frameModels compute the cases of package frame.
var frameModels = map[string]Model{}

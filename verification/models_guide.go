package verification

// guideModels compute the cases of package guide.
var guideModels = map[string]Model{}

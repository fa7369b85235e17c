package verification

// standModels compute the cases of package stand.
var standModels = map[string]Model{}

package verification

// equipModels compute the cases of package equip.
var equipModels = map[string]Model{}

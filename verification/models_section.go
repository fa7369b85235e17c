package verification

// sectionModels compute the cases of package section.
var sectionModels = map[string]Model{}

package verification

// driveModels compute the cases of package drive.
var driveModels = map[string]Model{}

package verification

// motionModels compute the cases of package motion.
var motionModels = map[string]Model{}

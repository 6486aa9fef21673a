package threemf

// Sample is a model with all that a file can hold.
var Sample = sample

package main

// release is the version of the program; the contract carries the same as info.version.
const release = "0.4.0"

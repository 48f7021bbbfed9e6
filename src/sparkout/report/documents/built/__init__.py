"""The chapters of the build record: what the log says was found, decided, done and left."""

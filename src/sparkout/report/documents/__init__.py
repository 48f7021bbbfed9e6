"""The three papers of a job as plain data and drawings: findings, work sheet, build record."""

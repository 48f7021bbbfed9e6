"""Plain bearings: viscosity, steady film, heat balance, and the orbit of a big end over a cycle."""

"""Surface texture from a trace: filters, roughness, plateau finish, cross-hatch."""

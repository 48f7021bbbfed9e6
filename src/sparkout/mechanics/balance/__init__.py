"""Balance of engines: shaking forces and couples of any layout, bob-weights, grades."""

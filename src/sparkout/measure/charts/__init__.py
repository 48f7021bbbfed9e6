"""Process charts of the shop's own work, capability, and what its history says is normal."""

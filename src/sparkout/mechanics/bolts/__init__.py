"""Bolted joints: thread geometry, torque and preload, stretch, angle, share of yield, stages."""

"""Heat that passes between a surface and the air or the water about it: what handbooks say."""

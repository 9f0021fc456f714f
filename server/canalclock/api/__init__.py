"""The doors over HTTP: decode, call, encode. Not here: rules about treatment (core)."""

"""The resolved design as plain data: frames, features, parts, joints."""

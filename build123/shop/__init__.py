"""What the shop needs beside models and drawings."""

"""Files. An exporter is a module of this room with a `NAME`, a `write` and a `verify`; nothing lists them by hand."""

"""Files: profiles, console descriptions, backups; the only place that knows YAML."""

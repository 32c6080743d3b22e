"""The figures for a plan, each as a sheet with its sum."""

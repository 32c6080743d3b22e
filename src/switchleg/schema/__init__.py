"""The strict model of every kind of data file; a row has a type, units and a source."""

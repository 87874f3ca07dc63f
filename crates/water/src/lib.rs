//! Water engine: properties, pressure drop along paths, heat put into the flow, waits, mains temperature.

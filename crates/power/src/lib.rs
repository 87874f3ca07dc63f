//! Power engine: element circuits, conductors, voltage drop, panel spaces, service load.

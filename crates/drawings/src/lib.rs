//! Drawings and charts as shapes, then SVG.

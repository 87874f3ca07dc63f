//! Water passing a place during one event: pieces of time, each at one temperature.
//!
//! Pieces carry times, not volumes, so that pipes which divide the same water read the same stream.

/// A piece of time at one temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Piece {
    pub(super) duration_s: f64,
    pub(super) temp_c: f64,
}

/// Pieces in order of time. Its memory is kept from event to event.
#[derive(Debug, Clone, Default)]
pub(super) struct Stream {
    pieces: Vec<Piece>,
}

impl Stream {
    pub(super) fn with_room() -> Self {
        Self {
            pieces: Vec::with_capacity(ROOM),
        }
    }

    pub(super) fn clear(&mut self) {
        self.pieces.clear();
    }

    pub(super) fn pieces(&self) -> &[Piece] {
        &self.pieces
    }

    /// Adds a piece; one that hardly differs joins the last, by the mean.
    pub(super) fn push(&mut self, duration_s: f64, temp_c: f64, alike_k: f64) {
        if duration_s <= 0.0 {
            return;
        }
        if let Some(last) = self.pieces.last_mut()
            && ((last.temp_c - temp_c).abs() <= alike_k || last.duration_s.min(duration_s) < SHORTEST_S)
        {
            let whole_s = last.duration_s + duration_s;
            last.temp_c += (temp_c - last.temp_c) * duration_s / whole_s;
            last.duration_s = whole_s;
            return;
        }
        self.pieces.push(Piece { duration_s, temp_c });
    }

    /// Becomes the mix of two streams of the same length, weighed by `share` of the first.
    pub(super) fn blend(&mut self, first: &[Piece], second: &[Piece], share: f64, alike_k: f64) {
        self.clear();
        for (duration_s, a, b) in Pairs::new(first, second) {
            self.push(duration_s, share * a + (1.0 - share) * b, alike_k);
        }
    }
}

/// Two streams side by side: time, temperature of the one, temperature of the other.
pub(super) struct Pairs<'s> {
    sides: [&'s [Piece]; 2],
    left_s: [f64; 2],
}

impl<'s> Pairs<'s> {
    pub(super) fn new(first: &'s [Piece], second: &'s [Piece]) -> Self {
        let left = |side: &[Piece]| side.first().map_or(0.0, |piece| piece.duration_s);
        Self {
            left_s: [left(first), left(second)],
            sides: [first, second],
        }
    }
}

impl Iterator for Pairs<'_> {
    type Item = (f64, f64, f64);

    fn next(&mut self) -> Option<Self::Item> {
        let duration_s = self.left_s[0].min(self.left_s[1]);
        if !duration_s.is_finite() {
            return None;
        }
        let temps = [self.sides[0].first()?.temp_c, self.sides[1].first()?.temp_c];
        for (side, left_s) in self.sides.iter_mut().zip(&mut self.left_s) {
            *left_s -= duration_s;
            if *left_s > 0.0 {
                continue;
            }
            // A stream that is over keeps its last temperature: rounding may have left a sliver of the other.
            *left_s = match side.get(1) {
                Some(next) => next.duration_s,
                None => f64::INFINITY,
            };
            if side.len() > 1 {
                *side = &side[1..];
            }
        }
        Some((duration_s, temps[0], temps[1]))
    }
}

const ROOM: usize = 256;
const SHORTEST_S: f64 = 1e-9;

#[cfg(test)]
mod tests {
    use super::*;

    fn piece(duration_s: f64, temp_c: f64) -> Piece {
        Piece { duration_s, temp_c }
    }

    #[test]
    fn streams_of_other_cuts_pair_up() {
        let first = [piece(1.0, 10.0), piece(2.0, 20.0)];
        let second = [piece(2.5, 1.0), piece(0.5, 2.0)];
        let pairs: Vec<_> = Pairs::new(&first, &second).collect();
        assert_eq!(pairs, [(1.0, 10.0, 1.0), (1.5, 20.0, 1.0), (0.5, 20.0, 2.0)]);
    }

    #[test]
    fn a_sliver_left_by_rounding_is_kept_in_the_last_piece() {
        let first = [piece(1.0, 10.0), piece(2.0 + 1e-13, 20.0)];
        let second = [piece(3.0, 1.0)];
        let whole: f64 = Pairs::new(&first, &second)
            .map(|(duration_s, ..)| duration_s)
            .sum();
        assert!((whole - 3.0).abs() < 1e-12);
    }

    #[test]
    fn joining_pieces_keeps_their_heat() {
        let mut stream = Stream::with_room();
        stream.push(1.0, 40.0, 0.2);
        stream.push(3.0, 40.1, 0.2);
        stream.push(0.0, 99.0, 0.2);
        stream.push(1.0, 50.0, 0.2);
        assert_eq!(stream.pieces().len(), 2);
        assert!((stream.pieces()[0].temp_c - 40.075).abs() < 1e-12);
    }
}

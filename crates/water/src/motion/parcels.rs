//! A row of parcels of water in a pipe, in a ring of fixed size: enter at the back, leave at the front.
//!
//! In: volumes and temperatures (above the surroundings, scaled by the pipe). Out: the same in the same order. Joining
//! two parcels keeps volume and heat exactly; when the ring is full the two neighbors that differ least are joined.

/// A volume of water at one temperature.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Parcel {
    pub(super) volume_l: f64,
    pub(super) excess_k: f64,
}

impl Parcel {
    fn joined(self, other: Self) -> Self {
        let volume_l = self.volume_l + other.volume_l;
        if volume_l <= 0.0 {
            return self;
        }
        Self {
            volume_l,
            excess_k: self.excess_k + (other.excess_k - self.excess_k) * (other.volume_l / volume_l),
        }
    }
}

/// The row.
#[derive(Debug, Clone)]
pub(super) struct Parcels {
    ring: Box<[Parcel]>,
    front: usize,
    len: usize,
    /// Sum of volume times excess, kept as parcels come and go.
    heat_kl: f64,
}

impl Parcels {
    pub(super) fn with_room(room: usize) -> Self {
        Self {
            ring: vec![Parcel::default(); room.max(4)].into_boxed_slice(),
            front: 0,
            len: 0,
            heat_kl: 0.0,
        }
    }

    fn slot(&self, at: usize) -> usize {
        let slot = self.front + at;
        if slot >= self.ring.len() {
            slot - self.ring.len()
        } else {
            slot
        }
    }

    /// From the front, which leaves first, to the back.
    pub(super) fn iter(&self) -> impl Iterator<Item = Parcel> + '_ {
        (0..self.len).map(|at| self.ring[self.slot(at)])
    }

    pub(super) fn clear(&mut self) {
        self.len = 0;
        self.heat_kl = 0.0;
    }

    /// Sum of volume times excess, counted anew.
    pub(super) fn counted_kl(&self) -> f64 {
        self.iter().map(|parcel| parcel.volume_l * parcel.excess_k).sum()
    }

    /// The same as it has been kept.
    pub(super) fn heat_kl(&self) -> f64 {
        self.heat_kl
    }

    pub(super) fn scale(&mut self, factor: f64) {
        for at in 0..self.len {
            let slot = self.slot(at);
            self.ring[slot].excess_k *= factor;
        }
        self.heat_kl = self.counted_kl();
    }

    /// Adds water at the back; what hardly differs from the parcel there joins it.
    pub(super) fn push_back(&mut self, parcel: Parcel, alike_k: f64) {
        if parcel.volume_l <= 0.0 {
            return;
        }
        self.heat_kl += parcel.volume_l * parcel.excess_k;
        if self.len > 0 {
            let last = self.slot(self.len - 1);
            let back = self.ring[last];
            let alike = (back.excess_k - parcel.excess_k).abs() <= alike_k;
            if alike || back.volume_l.min(parcel.volume_l) < LEAST_L {
                self.ring[last] = back.joined(parcel);
                return;
            }
        }
        if self.len == self.ring.len() {
            self.join_the_most_alike();
        }
        let slot = self.slot(self.len);
        self.ring[slot] = parcel;
        self.len += 1;
    }

    /// Adds water at the front, as a shrinking cell gives it back.
    pub(super) fn push_front(&mut self, parcel: Parcel) {
        if parcel.volume_l <= 0.0 {
            return;
        }
        self.heat_kl += parcel.volume_l * parcel.excess_k;
        if self.len == self.ring.len() {
            self.join_the_most_alike();
        }
        self.front = if self.front == 0 {
            self.ring.len() - 1
        } else {
            self.front - 1
        };
        self.ring[self.front] = parcel;
        self.len += 1;
    }

    /// Takes at most `volume_l` from the front, all of one temperature; none when the row is empty.
    pub(super) fn take_front(&mut self, volume_l: f64) -> Option<Parcel> {
        if self.len == 0 {
            return None;
        }
        let front = &mut self.ring[self.front];
        if front.volume_l > volume_l {
            front.volume_l -= volume_l;
            let excess_k = front.excess_k;
            self.heat_kl -= volume_l * excess_k;
            return Some(Parcel { volume_l, excess_k });
        }
        let taken = *front;
        self.heat_kl -= taken.volume_l * taken.excess_k;
        self.front = self.slot(1);
        self.len -= 1;
        Some(taken)
    }

    /// Joins the two neighbors whose joining moves the least heat.
    fn join_the_most_alike(&mut self) {
        let cost = |a: Parcel, b: Parcel| {
            let apart = a.excess_k - b.excess_k;
            a.volume_l * b.volume_l / (a.volume_l + b.volume_l).max(LEAST_L) * apart * apart
        };
        let mut best = (f64::INFINITY, 0);
        for at in 1..self.len {
            let found = cost(self.ring[self.slot(at - 1)], self.ring[self.slot(at)]);
            if found < best.0 {
                best = (found, at - 1);
            }
        }
        let (kept, gone) = (self.slot(best.1), self.slot(best.1 + 1));
        self.ring[kept] = self.ring[kept].joined(self.ring[gone]);
        for at in best.1 + 1..self.len - 1 {
            let (here, next) = (self.slot(at), self.slot(at + 1));
            self.ring[here] = self.ring[next];
        }
        self.len -= 1;
    }
}

/// Less than a thousandth of a milliliter joins its neighbor whatever its temperature.
const LEAST_L: f64 = 1e-6;

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn parcel(volume_l: f64, excess_k: f64) -> Parcel {
        Parcel { volume_l, excess_k }
    }

    #[test]
    fn first_in_first_out() {
        let mut row = Parcels::with_room(4);
        for at in 1..=3 {
            row.push_back(parcel(1.0, f64::from(at)), 0.1);
        }
        assert_eq!(row.take_front(0.25), Some(parcel(0.25, 1.0)));
        assert_eq!(row.take_front(5.0), Some(parcel(0.75, 1.0)));
        assert_eq!(row.take_front(5.0), Some(parcel(1.0, 2.0)));
        assert_eq!(row.take_front(5.0), Some(parcel(1.0, 3.0)));
        assert_eq!(row.take_front(5.0), None);
    }

    proptest! {
        #[test]
        fn a_full_ring_loses_neither_water_nor_heat(
            all in proptest::collection::vec((0.001_f64..2.0, -20.0_f64..60.0), 1..60), room in 4_usize..9,
        ) {
            let mut row = Parcels::with_room(room);
            for (at, (volume_l, excess_k)) in all.iter().enumerate() {
                if at % 5 == 4 {
                    row.push_front(parcel(*volume_l, *excess_k));
                } else {
                    row.push_back(parcel(*volume_l, *excess_k), 0.01);
                }
            }
            let volume: f64 = all.iter().map(|(volume_l, _)| volume_l).sum();
            let heat: f64 = all.iter().map(|(volume_l, excess_k)| volume_l * excess_k).sum();
            let held: f64 = row.iter().map(|parcel| parcel.volume_l).sum();
            prop_assert!((held - volume).abs() < 1e-12 * volume);
            prop_assert!((row.heat_kl() - heat).abs() < 1e-10 && (row.counted_kl() - heat).abs() < 1e-10);
            prop_assert!(row.iter().count() <= room);
            let (low, high) = all.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), (_, t)| (low.min(*t), high.max(*t)));
            for one in row.iter() {
                prop_assert!(one.excess_k >= low - 1e-12 && one.excess_k <= high + 1e-12);
            }
        }
    }
}

//! How long the water at a place stays between two temperatures at the present flows: the length of the next event.
//!
//! Looks upstream through what the pipes hold. It may say too little, which costs one more event, and a little too much
//! where loss on the way bends a front, which the tolerance of the tap covers.

use super::house::{Feed, House, LinkState};

impl House {
    /// Time in seconds; infinite when nothing in sight ends it.
    pub(super) fn stays_within(&self, place: usize, low_c: f64, high_c: f64, enough_s: f64) -> f64 {
        match self.feeds[place] {
            Feed::Dry => f64::INFINITY,
            Feed::Supply(temp_c) => {
                if temp_c > low_c && temp_c < high_c {
                    f64::INFINITY
                } else {
                    0.0
                }
            }
            Feed::One(link) => self.link_stays_within(link, low_c, high_c, enough_s),
            Feed::Many => {
                // Of several, each has to stay about where it is.
                let fine_k = self.fine_k();
                let mut least_s = f64::INFINITY;
                for link in self.leading[place].iter().copied() {
                    if self.flows[link] > 0.0 {
                        let now_c = self.link_temp_c(link);
                        let found = self.link_stays_within(link, now_c - fine_k, now_c + fine_k, enough_s);
                        least_s = least_s.min(found);
                    }
                }
                least_s
            }
        }
    }

    fn link_stays_within(&self, link: usize, low_c: f64, high_c: f64, enough_s: f64) -> f64 {
        let flow = self.flows[link];
        if flow <= 0.0 {
            return f64::INFINITY;
        }
        let from = self.ends[link].0;
        match &self.links[link] {
            LinkState::Pipe(pipe) => {
                let (held_s, all) = pipe.end_within(low_c, high_c, flow, enough_s);
                if !all || held_s >= enough_s {
                    return held_s;
                }
                let (low_c, high_c) = pipe.band_at_inlet(low_c, high_c, flow);
                held_s + self.stays_within(from, low_c, high_c, enough_s - held_s)
            }
            LinkState::Heater(heater) => {
                let inlet_c = self.place_temp_c(from);
                let (held_s, inlet_decides) = heater.end_within(low_c, high_c, flow, inlet_c);
                if !inlet_decides {
                    return held_s;
                }
                let fine_k = self.fine_k();
                held_s + self.stays_within(from, inlet_c - fine_k, inlet_c + fine_k, enough_s)
            }
        }
    }
}

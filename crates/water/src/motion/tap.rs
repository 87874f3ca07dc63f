//! A tap that runs: how whoever stands there mixes hot and cold, and what is written down about it.

use super::draw::{ColdSlug, Draw, DrawResult, TracePoint};
use super::settings::Settings;
use super::stream::Piece;
use quantity::{Energy, Temperature, Time, Volume};

/// Hot share at a tap: all hot while the hot side is cooler than wanted, otherwise what blends to the wish.
pub(super) fn hot_share(wanted_c: f64, hot_c: f64, cold_c: f64) -> f64 {
    if hot_c <= wanted_c || hot_c <= cold_c {
        return 1.0;
    }
    ((wanted_c - cold_c) / (hot_c - cold_c)).clamp(0.0, 1.0)
}

/// A draw that runs.
#[derive(Debug, Clone)]
pub(super) struct Running {
    pub(super) draw: Draw,
    /// Place in the list of results.
    pub(super) result: usize,
    pub(super) hot: Option<usize>,
    pub(super) cold: Option<usize>,
    pub(super) flow_l_per_s: f64,
    pub(super) wanted_c: Option<f64>,
    pub(super) useful_c: f64,
    pub(super) closes_s: f64,
    pub(super) share: f64,
    incoming_c: f64,
    elapsed_s: f64,
    useful_since_s: Option<f64>,
    volume_l: f64,
    hot_l: f64,
    heat_kl: f64,
    run_off_l: f64,
    run_off_kl: f64,
    lukewarm_s: f64,
    slug: Option<Slug>,
    warmest_c: f64,
}

#[derive(Debug, Clone, Copy)]
struct Slug {
    begins_s: f64,
    lasts_s: f64,
    coldest_c: f64,
}

impl Running {
    pub(super) fn new(
        draw: Draw,
        result: usize,
        sides: (Option<usize>, Option<usize>),
        opens_s: f64,
        incoming_c: f64,
        settings: &Settings,
    ) -> Self {
        let wanted_c = draw.use_temperature.map(Temperature::as_celsius);
        Self {
            draw,
            result,
            hot: if wanted_c.is_some() { sides.0 } else { None },
            cold: sides.1,
            flow_l_per_s: draw.flow.as_liters_per_second(),
            wanted_c,
            useful_c: wanted_c.map_or(f64::NEG_INFINITY, |wanted_c| {
                wanted_c - settings.useful_within.as_celsius()
            }),
            closes_s: opens_s + draw.runs.as_seconds(),
            share: 0.0,
            incoming_c,
            elapsed_s: 0.0,
            useful_since_s: None,
            volume_l: 0.0,
            hot_l: 0.0,
            heat_kl: 0.0,
            run_off_l: 0.0,
            run_off_kl: 0.0,
            lukewarm_s: 0.0,
            slug: None,
            warmest_c: f64::NEG_INFINITY,
        }
    }

    pub(super) fn is_useful(&self) -> bool {
        self.useful_since_s.is_some()
    }

    /// Takes note of a piece at the tap.
    pub(super) fn take(&mut self, piece: Piece, trace: &mut Vec<TracePoint>) {
        let Piece { duration_s, temp_c } = piece;
        let volume_l = self.flow_l_per_s * duration_s;
        self.volume_l += volume_l;
        self.hot_l += self.share * volume_l;
        let heat_kl = volume_l * (temp_c - self.incoming_c);
        self.heat_kl += heat_kl;
        self.warmest_c = self.warmest_c.max(temp_c);
        if let Some(wanted_c) = self.wanted_c {
            if temp_c >= self.useful_c - CLOSE_K {
                self.useful_since_s.get_or_insert(self.elapsed_s);
            } else {
                if temp_c > 0.5 * (self.incoming_c + wanted_c) {
                    self.lukewarm_s += duration_s;
                }
                if self.useful_since_s.is_some() {
                    // A sliver of rounding is no slug.
                    if duration_s < SLIVER_S {
                        return self.advance(piece, trace);
                    }
                    let slug = self.slug.get_or_insert(Slug {
                        begins_s: self.elapsed_s,
                        lasts_s: 0.0,
                        coldest_c: temp_c,
                    });
                    slug.lasts_s += duration_s;
                    slug.coldest_c = slug.coldest_c.min(temp_c);
                } else {
                    self.run_off_l += volume_l;
                    self.run_off_kl += heat_kl;
                }
            }
        }
        self.advance(piece, trace);
    }

    fn advance(&mut self, piece: Piece, trace: &mut Vec<TracePoint>) {
        self.elapsed_s += piece.duration_s;
        if self.draw.traced {
            trace.push(TracePoint {
                time: Time::from_seconds(self.elapsed_s),
                temperature: Temperature::from_celsius(piece.temp_c),
            });
        }
    }

    /// Water drawn so far.
    pub(super) fn volume_l(&self) -> f64 {
        self.volume_l
    }

    /// Writes the result.
    pub(super) fn close(&self, result: &mut DrawResult, heat_j_per_l_k: f64) {
        let heat = |kl: f64| Energy::from_joules(kl * heat_j_per_l_k);
        result.wait = self.useful_since_s.map(Time::from_seconds);
        result.run_off = Volume::from_liters(self.run_off_l);
        result.run_off_heat = heat(self.run_off_kl);
        result.volume = Volume::from_liters(self.volume_l);
        result.hot_volume = Volume::from_liters(self.hot_l);
        result.heat = heat(self.heat_kl);
        result.lukewarm = Time::from_seconds(self.lukewarm_s);
        result.warmest = Temperature::from_celsius(self.warmest_c.max(ABSOLUTE_ZERO_C));
        result.cold_slug = self.slug.map(|slug| ColdSlug {
            begins: Time::from_seconds(slug.begins_s),
            lasts: Time::from_seconds(slug.lasts_s),
            volume: Volume::from_liters(slug.lasts_s * self.flow_l_per_s),
            coldest: Temperature::from_celsius(slug.coldest_c),
        });
    }
}

/// An event that ends where useful water begins ends there but for rounding and loss on the way.
const CLOSE_K: f64 = 0.02;
const SLIVER_S: f64 = 1e-6;
const ABSOLUTE_ZERO_C: f64 = -273.15;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hot_side_is_full_open_until_it_is_warm_enough() {
        assert!(hot_share(40.0, 20.0, 10.0) >= 1.0);
        assert!(hot_share(40.0, 40.0, 10.0) >= 1.0);
        // 105 °F from 120 and 50 °F: 0.7857 (handbook of the project, water test case 19).
        let c = |f: f64| (f - 32.0) / 1.8;
        assert!((hot_share(c(105.0), c(120.0), c(50.0)) - 0.7857).abs() < 1e-4);
        // A cold side warmer than the wish is all there is.
        assert!(hot_share(30.0, 50.0, 35.0) <= 0.0);
    }
}

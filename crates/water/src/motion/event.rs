//! One event of a house: the taps are set, water passes every link, and the taps take note of what came.
//!
//! Start at [`House::event`]. Between two events flows are constant; how long one lasts is found by looking upstream from
//! each tap that mixes.

use super::draw::DrawResult;
use super::house::{Feed, House, LinkState};
use super::stream::{Pairs, Piece};
use super::tap::{Running, hot_share};

impl House {
    /// Finds the links that the running draws may use.
    pub(super) fn wake(&mut self) {
        for draw in &mut self.running {
            draw.share = 0.5;
        }
        self.sweep_flows();
        for (awake, flow) in self.awake.iter_mut().zip(&self.flows) {
            *awake = *flow > 0.0;
        }
    }

    /// Flows of all links from the shares at the taps, against the water's way.
    fn sweep_flows(&mut self) {
        self.demands.fill(0.0);
        for draw in &self.running {
            if let Some(hot) = draw.hot {
                let share = if draw.cold.is_some() { draw.share } else { 1.0 };
                self.demands[hot] += share * draw.flow_l_per_s;
            }
            if let Some(cold) = draw.cold {
                let share = if draw.hot.is_some() { draw.share } else { 0.0 };
                self.demands[cold] += (1.0 - share) * draw.flow_l_per_s;
            }
        }
        for place in self.order.iter().rev() {
            let demand = self.demands[*place];
            for link in &self.leading[*place] {
                let flow = demand * self.shares[*link];
                self.flows[*link] = flow;
                self.demands[self.ends[*link].0] += flow;
            }
        }
    }

    pub(super) fn fine_k(&self) -> f64 {
        self.settings.resolution.as_celsius()
    }

    pub(super) fn place_temp_c(&self, place: usize) -> f64 {
        match self.feeds[place] {
            Feed::Dry => self.incoming_c,
            Feed::Supply(temp_c) => temp_c,
            Feed::One(link) => self.link_temp_c(link),
            Feed::Many => self.leading[place]
                .iter()
                .map(|link| self.shares[*link] * self.link_temp_c(*link))
                .sum(),
        }
    }

    pub(super) fn link_temp_c(&self, link: usize) -> f64 {
        match &self.links[link] {
            LinkState::Pipe(pipe) => pipe
                .end_temp_c()
                .unwrap_or_else(|| self.place_temp_c(self.ends[link].0)),
            LinkState::Heater(heater) => heater.end_temp_c(),
        }
    }

    /// One event: at most until `until_s`.
    pub(super) fn event(&mut self, until_s: f64, results: &mut [DrawResult]) {
        for link in 0..self.links.len() {
            if self.awake[link] {
                self.stand(link, self.clock_s);
            }
        }
        for at in 0..self.running.len() {
            self.running[at].share = self.share_of(&self.running[at]);
        }
        self.sweep_flows();
        let most_s = until_s - self.clock_s;
        let mut span_s = most_s;
        for draw in &self.running {
            span_s = span_s.min(self.horizon_s(draw, span_s));
        }
        let whole = span_s >= most_s;
        if !whole {
            span_s = span_s.max(EVENT_LEAST_S).min(most_s);
        }
        self.move_water(span_s);
        self.serve(results);
        self.clock_s = if whole { until_s } else { self.clock_s + span_s };
        self.events += 1;
    }

    fn share_of(&self, draw: &Running) -> f64 {
        match (draw.hot, draw.cold, draw.wanted_c) {
            (Some(hot), Some(cold), Some(wanted_c)) => {
                hot_share(wanted_c, self.place_temp_c(hot), self.place_temp_c(cold))
            }
            (Some(_), None, _) => 1.0,
            _ => 0.0,
        }
    }

    /// How long a tap can stay as it is set.
    fn horizon_s(&self, draw: &Running, enough_s: f64) -> f64 {
        let (Some(hot), Some(wanted_c)) = (draw.hot, draw.wanted_c) else {
            return f64::INFINITY;
        };
        let hot_c = self.place_temp_c(hot);
        let Some(cold) = draw.cold else {
            return if draw.is_useful() || hot_c >= draw.useful_c {
                f64::INFINITY
            } else {
                self.stays_within(hot, f64::NEG_INFINITY, draw.useful_c, enough_s)
            };
        };
        let fine_k = self.settings.tap_tolerance.as_celsius();
        let of_hot = if hot_c <= wanted_c {
            // Waiting: nobody touches the tap until the wish is passed, and the moment of use is to be known.
            let mark_c = if draw.is_useful() || hot_c >= draw.useful_c {
                wanted_c
            } else {
                draw.useful_c
            };
            self.stays_within(hot, f64::NEG_INFINITY, mark_c.max(hot_c + MARK_K), enough_s)
        } else {
            self.stays_within(hot, hot_c - fine_k, hot_c + fine_k, enough_s)
        };
        if draw.share >= 1.0 {
            return of_hot;
        }
        let cold_c = self.place_temp_c(cold);
        of_hot.min(self.stays_within(cold, cold_c - fine_k, cold_c + fine_k, of_hot.min(enough_s)))
    }

    /// Passes water through every link that has flow, in the order the water takes.
    fn move_water(&mut self, span_s: f64) {
        let fine_k = self.fine_k();
        for at in 0..self.order.len() {
            let place = self.order[at];
            self.gather(place, span_s);
            for way in 0..self.leaving[place].len() {
                let link = self.leaving[place][way];
                let flow = self.flows[link];
                if flow <= 0.0 {
                    continue;
                }
                let mut out = std::mem::take(&mut self.streams[link]);
                let inflow = match self.feeds[place] {
                    Feed::One(before) => self.streams[before].pieces(),
                    _ => self.at_places[place].pieces(),
                };
                match &mut self.links[link] {
                    LinkState::Pipe(pipe) => pipe.run(span_s, flow, inflow, &mut out, fine_k),
                    LinkState::Heater(heater) => heater.run(span_s, flow, inflow, &mut out, fine_k),
                }
                self.streams[link] = out;
            }
        }
    }

    /// The stream at a place that is a supply, or where several links meet.
    fn gather(&mut self, place: usize, span_s: f64) {
        let demand = self.demands[place];
        if demand <= 0.0 {
            return;
        }
        match self.feeds[place] {
            Feed::Supply(temp_c) => {
                self.at_places[place].clear();
                self.at_places[place].push(span_s, temp_c, 0.0);
                self.in_l += demand * span_s;
                self.in_kl += demand * span_s * temp_c;
            }
            Feed::Many => {
                let alike_k = 0.25 * self.fine_k();
                let mut so_far = 0.0;
                for link in &self.leading[place] {
                    let flow = self.flows[*link];
                    if flow <= 0.0 {
                        continue;
                    }
                    let pieces = self.streams[*link].pieces();
                    if so_far <= 0.0 {
                        self.at_places[place].clear();
                        for piece in pieces {
                            self.at_places[place].push(piece.duration_s, piece.temp_c, 0.0);
                        }
                    } else {
                        let share = so_far / (so_far + flow);
                        self.spare
                            .blend(self.at_places[place].pieces(), pieces, share, alike_k);
                        std::mem::swap(&mut self.spare, &mut self.at_places[place]);
                    }
                    so_far += flow;
                }
            }
            Feed::One(_) | Feed::Dry => {}
        }
    }

    /// Hands the streams to the taps.
    fn serve(&mut self, results: &mut [DrawResult]) {
        let Self {
            running,
            streams,
            at_places,
            feeds,
            out_kl,
            ..
        } = self;
        let stream = |place: usize| match feeds[place] {
            Feed::One(link) => streams[link].pieces(),
            _ => at_places[place].pieces(),
        };
        for draw in running {
            let trace = &mut results[draw.result].trace;
            let flow = draw.flow_l_per_s;
            let mut take = |draw: &mut Running, duration_s: f64, temp_c: f64| {
                *out_kl += flow * duration_s * temp_c;
                draw.take(Piece { duration_s, temp_c }, trace);
            };
            match (draw.hot, draw.cold) {
                (Some(hot), Some(cold)) if draw.share < 1.0 && draw.share > 0.0 => {
                    let share = draw.share;
                    for (duration_s, hot_c, cold_c) in Pairs::new(stream(hot), stream(cold)) {
                        take(draw, duration_s, share * hot_c + (1.0 - share) * cold_c);
                    }
                }
                (Some(hot), _) if draw.share >= 1.0 => {
                    for piece in stream(hot) {
                        take(draw, piece.duration_s, piece.temp_c);
                    }
                }
                (_, Some(cold)) => {
                    for piece in stream(cold) {
                        take(draw, piece.duration_s, piece.temp_c);
                    }
                }
                _ => {}
            }
        }
    }
}

/// No event is shorter, so that a run always gets on.
const EVENT_LEAST_S: f64 = 0.02;
/// A mark is at least this far above where the water is.
const MARK_K: f64 = 0.01;

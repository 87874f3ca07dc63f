//! What a run is about: places, pipes and heaters between them, taps. Water goes each link from its first place to its
//! second.
//!
//! In: typed parts. Out: a checked graph in the order the water takes, for [`House`](super::House). One plan is one
//! source mode: with other valve positions the water goes other ways.

use super::pipe_run::PipeRun;
use super::tank::StorageTank;
use super::unit::OnDemandUnit;
use crate::error::{WaterError, within};
use crate::heating::enthalpy_rise;
use crate::properties::Water;
use quantity::{Ratio, Temperature};

/// A place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct NodeId(pub(super) usize);

/// A pipe or heater.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct LinkId(pub(super) usize);

/// A tap.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct TapId(pub(super) usize);

/// Why a plan or a schedule is refused.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum MotionError {
    /// A value out of range.
    #[error(transparent)]
    Water(#[from] WaterError),
    /// The links run in a ring.
    #[error("the water would run in a ring through `{place}`; check which way each pipe is used")]
    Ring {
        /// A place on the ring.
        place: String,
    },
    /// A place that water is drawn from and none reaches.
    #[error("no water reaches `{place}`; join it to a supply")]
    Dry {
        /// The place.
        place: String,
    },
    /// Several links lead to a place and their shares of its flow do not add up to one.
    #[error("the shares of the links that lead to `{place}` add up to {sum}, not 1; give each its share")]
    Shares {
        /// The place.
        place: String,
        /// Their sum.
        sum: f64,
    },
    /// A draw begins before the run.
    #[error("a draw at `{tap}` opens before the run begins; sort the schedule into the run")]
    Early {
        /// The tap.
        tap: String,
    },
    /// A tap has neither a hot nor a cold side that the draw could use.
    #[error("tap `{tap}` has no side that gives what the draw wants; join it to hot or cold water")]
    NoSide {
        /// The tap.
        tap: String,
    },
}

#[derive(Debug, Clone)]
pub(super) struct Place {
    pub(super) name: String,
    pub(super) supply: Option<Temperature>,
}

#[derive(Debug, Clone)]
pub(super) enum Part {
    Pipe(PipeRun),
    Unit(OnDemandUnit),
    Tank(StorageTank),
}

#[derive(Debug, Clone)]
pub(super) struct LinkPlan {
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) share: Ratio,
    pub(super) part: Part,
}

#[derive(Debug, Clone)]
pub(super) struct TapPlan {
    pub(super) name: String,
    pub(super) hot: Option<usize>,
    pub(super) cold: Option<usize>,
}

/// Places, links and taps of a house.
#[derive(Debug, Clone)]
pub struct Plan {
    incoming: Water,
    heat_j_per_l_k: f64,
    mean: Water,
    pub(super) places: Vec<Place>,
    pub(super) links: Vec<LinkPlan>,
    pub(super) taps: Vec<TapPlan>,
}

impl Plan {
    /// A plan without parts. The water's density is that of the incoming water; its specific heat the mean from there to
    /// `hot`, so that heating to `hot` takes what the standard's enthalpy says.
    ///
    /// # Errors
    /// When `hot` is not 0.1 °C above the incoming water, or would boil.
    pub fn new(incoming: Water, hot: Temperature) -> Result<Self, MotionError> {
        let rise = hot - incoming.temperature();
        within("the rise to the hot water", rise, 0.1, 150.0, "°C")?;
        let heat_j_per_kg_k = enthalpy_rise(&incoming, hot)? / rise.as_celsius();
        let mean = incoming.heated_to(incoming.temperature() + rise / 2.0)?;
        Ok(Self {
            incoming,
            heat_j_per_l_k: heat_j_per_kg_k * incoming.density_kg_per_m3() * 1e-3,
            mean,
            places: Vec::new(),
            links: Vec::new(),
            taps: Vec::new(),
        })
    }

    /// A place where links and taps meet.
    pub fn place(&mut self, name: &str) -> NodeId {
        self.places.push(Place {
            name: name.to_owned(),
            supply: None,
        });
        NodeId(self.places.len() - 1)
    }

    /// Where the incoming water enters.
    pub fn supply(&mut self, at: NodeId) {
        self.places[at.0].supply = Some(self.incoming.temperature());
    }

    /// A pipe in which water goes from `from` to `to`.
    pub fn pipe(&mut self, from: NodeId, to: NodeId, run: PipeRun) -> LinkId {
        self.link(from, to, Part::Pipe(run))
    }

    /// An on-demand unit.
    pub fn unit(&mut self, inlet: NodeId, outlet: NodeId, unit: OnDemandUnit) -> LinkId {
        self.link(inlet, outlet, Part::Unit(unit))
    }

    /// A storage tank.
    pub fn tank(&mut self, inlet: NodeId, outlet: NodeId, tank: StorageTank) -> LinkId {
        self.link(inlet, outlet, Part::Tank(tank))
    }

    /// The share of the flow at its end that a link brings, where several lead there; a hydraulic solve gives it.
    pub fn share(&mut self, link: LinkId, share: Ratio) {
        self.links[link.0].share = share;
    }

    /// A tap with a hot and a cold side, or one of them.
    pub fn tap(&mut self, name: &str, hot: Option<NodeId>, cold: Option<NodeId>) -> TapId {
        self.taps.push(TapPlan {
            name: name.to_owned(),
            hot: hot.map(|node| node.0),
            cold: cold.map(|node| node.0),
        });
        TapId(self.taps.len() - 1)
    }

    fn link(&mut self, from: NodeId, to: NodeId, part: Part) -> LinkId {
        self.links.push(LinkPlan {
            from: from.0,
            to: to.0,
            share: Ratio::from_fraction(1.0),
            part,
        });
        LinkId(self.links.len() - 1)
    }

    pub(super) fn incoming(&self) -> &Water {
        &self.incoming
    }

    /// Water at the mean of incoming and hot, for the properties of fronts and walls.
    pub(super) fn mean(&self) -> &Water {
        &self.mean
    }

    /// Heat of a liter of water per degree, the unit in which a run counts heat.
    pub(super) fn heat_j_per_l_k(&self) -> f64 {
        self.heat_j_per_l_k
    }

    /// The links that lead to each place.
    pub(super) fn leading(&self) -> Vec<Vec<usize>> {
        let mut leading = vec![Vec::new(); self.places.len()];
        for (index, link) in self.links.iter().enumerate() {
            leading[link.to].push(index);
        }
        leading
    }

    /// The places in the order the water takes; refuses rings, shares that do not add up, and dry places.
    pub(super) fn order(&self) -> Result<Vec<usize>, MotionError> {
        let leading = self.leading();
        let mut waiting: Vec<usize> = leading.iter().map(Vec::len).collect();
        let mut order: Vec<usize> = (0..self.places.len())
            .filter(|place| waiting[*place] == 0)
            .collect();
        let mut next = 0;
        while let Some(place) = order.get(next).copied() {
            next += 1;
            for link in self.links.iter().filter(|link| link.from == place) {
                waiting[link.to] -= 1;
                if waiting[link.to] == 0 {
                    order.push(link.to);
                }
            }
        }
        if let Some(stuck) = waiting.iter().position(|left| *left > 0) {
            return Err(MotionError::Ring {
                place: self.places[stuck].name.clone(),
            });
        }
        for (place, links) in leading.iter().enumerate() {
            let sum: f64 = links
                .iter()
                .map(|link| self.links[*link].share.as_fraction())
                .sum();
            let bad = |link: &usize| !(0.0..=1.0).contains(&self.links[*link].share.as_fraction());
            if !links.is_empty() && ((sum - 1.0).abs() > 1e-9 || links.iter().any(bad)) {
                return Err(MotionError::Shares {
                    place: self.places[place].name.clone(),
                    sum,
                });
            }
        }
        let dry = |place: &usize| leading[*place].is_empty() && self.places[*place].supply.is_none();
        let drawn = |place: usize| {
            self.links.iter().any(|link| link.from == place)
                || self
                    .taps
                    .iter()
                    .any(|tap| tap.hot == Some(place) || tap.cold == Some(place))
        };
        if let Some(place) = order.iter().copied().find(|place| dry(place) && drawn(*place)) {
            return Err(MotionError::Dry {
                place: self.places[place].name.clone(),
            });
        }
        Ok(order)
    }
}

//! Settings that change between solves: valves, taps, shares, demands, supplies, temperatures.
//!
//! In: an id and a new value. Out: the solver ready to go on from its last answer. Each setter checks its value and
//! recompiles one link; none allocates except for links with a curve. Planning is not repeated.

use super::error::NetworkError;
use super::fluid::Fluid;
use super::model::{Device, LinkId, NodeId, NodeKind, OutletLaw, check_device};
use super::solver::Solver;
use crate::error::within;
use quantity::{GaugePressure, Ratio, VolumeFlow};

impl Solver {
    /// Opens or closes a link by hand.
    ///
    /// # Errors
    /// When the link is not of this network.
    pub fn set_closed(&mut self, link: LinkId, closed: bool) -> Result<(), NetworkError> {
        self.network.close(link, closed)?;
        self.take_hand(link.0 as usize);
        Ok(())
    }

    /// Sets the opening of a valve.
    ///
    /// # Errors
    /// When the link is not a valve of this network or the opening not from 0 to 1.
    pub fn set_opening(&mut self, valve: LinkId, to: Ratio) -> Result<(), NetworkError> {
        self.change(valve, "the valve", |device| match device {
            Device::Valve { opening, .. } => {
                *opening = to;
                true
            }
            _ => false,
        })
    }

    /// Throttles a fixture's outlet to a flow, or opens it wide.
    ///
    /// # Errors
    /// When the link is not a fixture's outlet of this network or the flow not above zero.
    pub fn set_throttle(&mut self, outlet: LinkId, to: Option<VolumeFlow>) -> Result<(), NetworkError> {
        self.change(outlet, "the outlet", |device| match device {
            Device::Outlet(OutletLaw::Fixture { throttled_to, .. }) => {
                *throttled_to = to;
                true
            }
            _ => false,
        })
    }

    /// Sets the law of an outlet.
    ///
    /// # Errors
    /// When the link is not an outlet of this network or a value of the law is outside its range.
    pub fn set_outlet(&mut self, outlet: LinkId, law: OutletLaw) -> Result<(), NetworkError> {
        self.change(outlet, "the outlet", |device| match device {
            Device::Outlet(of) => {
                *of = law;
                true
            }
            _ => false,
        })
    }

    /// Sets the share of hot water of a mixing valve.
    ///
    /// # Errors
    /// When the link is not a mixing valve of this network or the share not from 0 to 1.
    pub fn set_hot_share(&mut self, mixer: LinkId, to: Ratio) -> Result<(), NetworkError> {
        self.change(mixer, "the mixing valve", |device| match device {
            Device::Mixer(mixer) => {
                mixer.hot_share = to;
                true
            }
            _ => false,
        })
    }

    /// Sets what a link carries: water of another temperature.
    ///
    /// # Errors
    /// When the link is not of this network.
    pub fn set_fluid(&mut self, link: LinkId, fluid: Fluid) -> Result<(), NetworkError> {
        let index = link.0 as usize;
        let of = self
            .network
            .links
            .get_mut(index)
            .ok_or_else(|| unknown("the link"))?;
        of.fluid = fluid;
        self.renew(index);
        Ok(())
    }

    /// Sets what is taken at a junction whatever the pressure.
    ///
    /// # Errors
    /// When the node is not a junction of this network or the flow outside ±1000 m³/s.
    pub fn set_demand(&mut self, junction: NodeId, to: VolumeFlow) -> Result<(), NetworkError> {
        let index = junction.0 as usize;
        let density = self.network.entering.density_kg_per_m3;
        let node = self
            .network
            .nodes
            .get_mut(index)
            .ok_or_else(|| unknown("the junction"))?;
        let NodeKind::Junction { demand } = &mut node.kind else {
            return Err(unknown("the junction"));
        };
        within("the demand", to, -1e3, 1e3, "m³/s").map_err(NetworkError::of(&node.name))?;
        *demand = to;
        let place = self.kernel.place_of_node[index] as usize;
        self.kernel.demand_kg_per_s[place] = to.as_cubic_meters_per_second() * density;
        Ok(())
    }

    /// Sets the pressure of a supply.
    ///
    /// # Errors
    /// When the node is not a supply of this network or the pressure outside ±100 `MPa`.
    pub fn set_supply(&mut self, supply: NodeId, to: GaugePressure) -> Result<(), NetworkError> {
        let index = supply.0 as usize;
        let node = self
            .network
            .nodes
            .get_mut(index)
            .ok_or_else(|| unknown("the supply"))?;
        let NodeKind::Supply { pressure } = &mut node.kind else {
            return Err(unknown("the supply"));
        };
        within("the pressure of the supply", to, -100.0, 100.0, "MPa")
            .map_err(NetworkError::of(&node.name))?;
        *pressure = to;
        let known = self.kernel.place_of_node[index] as usize - self.kernel.unknown;
        self.kernel.known_pressure_pa[known] = to.as_pascals();
        Ok(())
    }

    fn change(
        &mut self,
        link: LinkId,
        what: &'static str,
        set: impl FnOnce(&mut Device) -> bool,
    ) -> Result<(), NetworkError> {
        let index = link.0 as usize;
        let friction = self.network.friction;
        let of = self.network.links.get_mut(index).ok_or_else(|| unknown(what))?;
        let before = of.device.clone();
        if !set(&mut of.device) {
            return Err(unknown(what));
        }
        if let Err(error) = check_device(&of.device, friction) {
            of.device = before;
            return Err(NetworkError::of(&of.name)(error));
        }
        self.renew(index);
        Ok(())
    }
}

fn unknown(what: &str) -> NetworkError {
    NetworkError::Unknown {
        what: what.to_owned(),
    }
}

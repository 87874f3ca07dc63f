//! Where each method of the engine comes from, as a source that papers and findings can print.
//!
//! In: a method. Out: its [`Source`]. Holds no formula: each stands in its own file, with its own card.

use trace::{Source, SourceStatus};

/// A method of this engine.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Method {
    /// Density, specific heat and enthalpy of water.
    Properties,
    /// Viscosity of water.
    Viscosity,
    /// Friction in pipes.
    Friction,
    /// Flow of an outlet by its pressure.
    Outlet,
    /// Heat balance of heater and tap.
    HeatBalance,
    /// Incoming water by climate.
    MainsTemperature,
    /// Wait for hot water.
    PlugFlow,
    /// Expansion tank.
    ExpansionTank,
    /// Cooling of a standing pipe.
    StandingLoss,
}

impl Method {
    /// Its source.
    ///
    /// ```
    /// use water::Method;
    /// assert!(Method::MainsTemperature.source().to_string().starts_with("Burch and Christensen"));
    /// ```
    pub fn source(self) -> Source {
        let (document, edition, place, status) = match self {
            Self::Properties => (
                "IAPWS R7-97, region 1",
                Some("2012"),
                "equation 7",
                SourceStatus::Memory,
            ),
            Self::Viscosity => (
                "IAPWS R12-08",
                Some("2008"),
                "equations 11 and 12",
                SourceStatus::Memory,
            ),
            Self::Friction => (
                "Darcy-Weisbach with Colebrook-White",
                None,
                "own joint of the regimes, Re 2000 to 4000",
                SourceStatus::Memory,
            ),
            Self::Outlet => (
                "orifice law",
                None,
                "flow with the square root of pressure",
                SourceStatus::Memory,
            ),
            Self::HeatBalance => (
                "first law of thermodynamics",
                None,
                "enthalpy of IAPWS R7-97, flow at inlet density",
                SourceStatus::Computed,
            ),
            Self::MainsTemperature => (
                "Burch and Christensen, Towards Development of an Algorithm for Mains Water Temperature",
                Some("2007"),
                "formula as read in a public implementation citing it",
                SourceStatus::Seen,
            ),
            Self::PlugFlow => (
                "plug flow of parcels, walls at their rate, Taylor dispersion",
                None,
                "own event-driven method; fronts as Anzelius and Schumann",
                SourceStatus::Computed,
            ),
            Self::ExpansionTank => (
                "gas law",
                None,
                "volume over 1 - p1/p2, absolute",
                SourceStatus::Memory,
            ),
            Self::StandingLoss => (
                "ASHRAE cylindrical resistance method",
                None,
                "as cited by a PEX plumbing design manual, appendix F",
                SourceStatus::Seen,
            ),
        };
        Source {
            document: document.to_owned(),
            edition: edition.map(str::to_owned),
            place: Some(place.to_owned()),
            status,
        }
    }
}

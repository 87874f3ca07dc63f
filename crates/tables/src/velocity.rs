//! Greatest recommended velocity of water in a pipe, by material and how hot the water is.
//!
//! In: a material and a service. Out: the limit with its source. Start at [`velocity_limit`]. Guidance against erosion
//! and noise, not a code limit; judges nothing.

use crate::as_printed::as_printed;
use crate::pipe::PipeMaterial;
use crate::row_source::row_source;
use crate::table::embedded;
use quantity::{Temperature, Velocity};
use serde::Deserialize;
use std::sync::LazyLock;
use trace::{Source, SourceStatus};

/// How hot the water in a pipe is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
pub enum Service {
    /// Cold water.
    #[serde(rename = "cold")]
    Cold,
    /// Hot water to 140 °F.
    #[serde(rename = "hot")]
    Hot,
    /// Hot water above 140 °F.
    #[serde(rename = "above-140-f")]
    Hotter,
}

impl Service {
    /// The service of a hot pipe whose water is as hot as given.
    pub fn of_hot_pipe(temperature: Temperature) -> Self {
        if as_printed(temperature.as_fahrenheit()) > 140.0 {
            Self::Hotter
        } else {
            Self::Hot
        }
    }
}

/// A velocity limit.
#[derive(Debug, Clone, PartialEq)]
pub struct VelocityLimit {
    /// Material.
    pub material: PipeMaterial,
    /// Service.
    pub service: Service,
    /// Greatest velocity recommended.
    pub limit: Velocity,
    /// Where it comes from.
    pub source: Source,
}

/// The greatest velocity recommended for a material and service.
///
/// ```
/// use tables::pipe::PipeMaterial;
/// use tables::velocity::{Service, velocity_limit};
/// let limit = velocity_limit(PipeMaterial::CopperL, Service::Hot);
/// assert!((limit.limit.as_feet_per_second() - 5.0).abs() < 1e-9);
/// ```
///
/// # Panics
/// Never for a released build: a test reads the row of every material and service.
pub fn velocity_limit(material: PipeMaterial, service: Service) -> &'static VelocityLimit {
    LIMITS
        .iter()
        .find(|row| row.material == material && row.service == service)
        .expect("every material and service has a row: a test reads them all")
}

#[derive(Deserialize)]
struct Row {
    material: PipeMaterial,
    service: Service,
    limit_ft_per_s: f64,
    status: SourceStatus,
}

static LIMITS: LazyLock<Vec<VelocityLimit>> = LazyLock::new(|| {
    let table = embedded::<Row>(
        "velocity_limits",
        include_str!("../../../data/tables/water/velocity_limits.csv"),
    );
    table
        .rows
        .iter()
        .map(|row| VelocityLimit {
            material: row.material,
            service: row.service,
            limit: Velocity::from_feet_per_second(row.limit_ft_per_s),
            source: row_source(&table.source, row.status),
        })
        .collect()
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hotter_water_never_may_run_faster() {
        for material in PipeMaterial::ALL {
            let limit = |service| velocity_limit(material, service).limit.as_feet_per_second();
            assert!(limit(Service::Cold) >= limit(Service::Hot), "{material}");
            assert!(limit(Service::Hot) >= limit(Service::Hotter), "{material}");
            assert!(limit(Service::Hotter) > 0.0, "{material}");
        }
    }

    #[test]
    fn copper_limits_were_seen_and_plastic_limits_remembered() {
        // Copper Tube Handbook as quoted: cold 8 ft/s, hot to 140 °F 5 ft/s, above 2 to 3 ft/s.
        let cold = velocity_limit(PipeMaterial::CopperM, Service::Cold);
        assert_eq!(cold.source.status, SourceStatus::Seen);
        assert!((cold.limit.as_feet_per_second() - 8.0).abs() < 1e-9);
        assert_eq!(
            Service::of_hot_pipe(Temperature::from_fahrenheit(140.0)),
            Service::Hot
        );
        let hotter = velocity_limit(
            PipeMaterial::CopperM,
            Service::of_hot_pipe(Temperature::from_fahrenheit(150.0)),
        );
        assert!((hotter.limit.as_feet_per_second() - 2.0).abs() < 1e-9);
        let plastic = velocity_limit(
            PipeMaterial::Pex,
            Service::of_hot_pipe(Temperature::from_fahrenheit(120.0)),
        );
        assert_eq!(plastic.source.status, SourceStatus::Memory);
    }
}

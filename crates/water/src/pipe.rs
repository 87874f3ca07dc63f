//! A pipe: bore, length, wall; the water it holds and how fast it runs.
//!
//! In: a material and nominal size, or measured diameters. Out: volumes and velocities. Start at [`Pipe::of`].
//! Does not know pressure, heat in motion or fixtures.

use crate::error::{WaterError, within};
use quantity::{
    Area, Density, Length, PipeSize, Ratio, SpecificHeat, ThermalConductivity, Velocity, Volume, VolumeFlow,
};
use tables::pipe::PipeMaterial;

use crate::properties::Water;

/// The material of a pipe's wall, as far as heat is concerned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wall {
    /// Density.
    pub density: Density,
    /// Specific heat.
    pub specific_heat: SpecificHeat,
    /// Thermal conductivity.
    pub conductivity: ThermalConductivity,
}

/// A straight run of pipe of one bore.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pipe {
    inside_diameter: Length,
    outside_diameter: Length,
    length: Length,
    roughness: Length,
    wall: Wall,
}

impl Pipe {
    /// A pipe of a material and nominal size from the tables.
    ///
    /// # Errors
    /// When the tables lack the size, or the length is not from 0 to 10 km.
    ///
    /// ```
    /// use quantity::Length;
    /// use tables::pipe::PipeMaterial;
    /// use water::pipe::Pipe;
    /// let pipe = Pipe::of(PipeMaterial::CopperL, "3/4 in".parse()?, Length::from_feet(50.0))?;
    /// // ASTM B88, bore 0.785 in: π/4 · 0.785² · 600 in³ / 231 = 1.257 gal.
    /// assert!((pipe.volume().as_gallons() - 1.257).abs() < 0.001);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn of(material: PipeMaterial, size: PipeSize, length: Length) -> Result<Self, WaterError> {
        let dimensions = tables::pipe::dimensions(material, size)?;
        let wall = tables::pipe::wall(material);
        Self::measured(
            dimensions.inside_diameter(),
            dimensions.outside_diameter,
            length,
            wall.roughness,
            Wall {
                density: wall.density,
                specific_heat: wall.specific_heat,
                conductivity: wall.conductivity,
            },
        )
    }

    /// A pipe of known diameters.
    ///
    /// # Errors
    /// When the bore is not from 1 mm to 1 m, the outside not wider than the bore, the length not from 0 to 10 km, or
    /// the roughness above a twentieth of the bore.
    pub fn measured(
        inside_diameter: Length,
        outside_diameter: Length,
        length: Length,
        roughness: Length,
        wall: Wall,
    ) -> Result<Self, WaterError> {
        let bore_mm = within("the bore of the pipe", inside_diameter, 1.0, 1000.0, "mm")?.as_millimeters();
        within(
            "the outside diameter of the pipe",
            outside_diameter,
            bore_mm,
            2000.0,
            "mm",
        )?;
        within("the length of the pipe", length, 0.0, 1e4, "m")?;
        within(
            "the roughness of the pipe",
            roughness,
            0.0,
            bore_mm * crate::friction::ROUGHNESS_MAX,
            "mm",
        )?;
        Ok(Self {
            inside_diameter,
            outside_diameter,
            length,
            roughness,
            wall,
        })
    }

    /// Diameter of the bore.
    pub fn inside_diameter(&self) -> Length {
        self.inside_diameter
    }

    /// Outside diameter.
    pub fn outside_diameter(&self) -> Length {
        self.outside_diameter
    }

    /// Length.
    pub fn length(&self) -> Length {
        self.length
    }

    /// Roughness of the bore.
    pub fn roughness(&self) -> Length {
        self.roughness
    }

    /// Wall.
    pub fn wall(&self) -> Wall {
        self.wall
    }

    /// Cross-section of the bore: π/4 · d².
    pub fn bore_area(&self) -> Area {
        std::f64::consts::FRAC_PI_4 * (self.inside_diameter * self.inside_diameter)
    }

    /// Cross-section of the wall.
    pub fn wall_area(&self) -> Area {
        std::f64::consts::FRAC_PI_4 * (self.outside_diameter * self.outside_diameter) - self.bore_area()
    }

    /// The water it holds.
    pub fn volume(&self) -> Volume {
        self.bore_area() * self.length
    }

    /// How fast a flow runs in it.
    ///
    /// ```
    /// use quantity::{Length, VolumeFlow};
    /// use tables::pipe::PipeMaterial;
    /// use water::pipe::Pipe;
    /// let pipe = Pipe::of(PipeMaterial::CopperL, "3/4 in".parse()?, Length::from_feet(1.0))?;
    /// // 0.4085 · 5 gpm / (0.785 in)² = 3.315 ft/s.
    /// let velocity = pipe.velocity(VolumeFlow::from_gallons_per_minute(5.0));
    /// assert!((velocity.as_feet_per_second() - 3.315).abs() < 0.002);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn velocity(&self, flow: VolumeFlow) -> Velocity {
        flow / self.bore_area()
    }

    /// How long a pipe of this bore holds a volume.
    ///
    /// ```
    /// use quantity::{Length, Volume};
    /// use tables::pipe::PipeMaterial;
    /// use water::pipe::Pipe;
    /// let pipe = Pipe::of(PipeMaterial::Pex, "1/2 in".parse()?, Length::from_feet(1.0))?;
    /// // The 0.5 gal storage limit of a federal label is reached after 52.1 ft of 1/2 in PEX.
    /// assert!((pipe.length_holding(Volume::from_gallons(0.5)).as_feet() - 52.1).abs() < 0.1);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn length_holding(&self, volume: Volume) -> Length {
        volume / self.bore_area()
    }

    /// Heat the wall stores per degree, over the heat its water stores.
    ///
    /// ```
    /// use quantity::{Length, Temperature};
    /// use tables::pipe::PipeMaterial;
    /// use water::{Water, pipe::Pipe};
    /// let pipe = Pipe::of(PipeMaterial::CopperL, "3/4 in".parse()?, Length::from_feet(1.0))?;
    /// // 0.455 lb/ft of copper at 0.092 Btu/(lb·°F) against 0.2094 Btu/(ft·°F) of water: 0.200.
    /// let ratio = pipe.wall_heat_ratio(&Water::in_house(Temperature::from_fahrenheit(60.0))?);
    /// assert!((ratio.as_fraction() - 0.200).abs() < 0.003);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn wall_heat_ratio(&self, water: &Water) -> Ratio {
        let wall = self.wall_area().as_square_meters()
            * self.wall.density.as_kilograms_per_cubic_meter()
            * self.wall.specific_heat.as_joules_per_kilogram_kelvin();
        let water = self.bore_area().as_square_meters()
            * water.density_kg_per_m3()
            * water.specific_heat().as_joules_per_kilogram_kelvin();
        Ratio::from_fraction(wall / water)
    }
}

/// The water a row of pipes holds.
pub fn path_volume(pipes: &[Pipe]) -> Volume {
    pipes.iter().map(Pipe::volume).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use quantity::Temperature;

    fn pipe(material: &str, size: &str, length_ft: f64) -> Pipe {
        let material = match material {
            "copper-k" => PipeMaterial::CopperK,
            "copper-l" => PipeMaterial::CopperL,
            "copper-m" => PipeMaterial::CopperM,
            "pex" => PipeMaterial::Pex,
            "cpvc" => PipeMaterial::Cpvc,
            other => panic!("{other}"),
        };
        Pipe::of(material, size.parse().unwrap(), Length::from_feet(length_ft)).unwrap()
    }

    #[test]
    fn volumes_velocities_and_lengths() {
        for case in &checks::load("water/pipe_volume.toml").cases {
            let length_ft = case
                .given
                .get("length_ft")
                .map_or(1.0, |_| case.given("length_ft"));
            let pipe = pipe(case.given_text("material"), case.given_text("size"), length_ft);
            if case.expected("volume_gal").is_some() {
                case.close("volume_gal", pipe.volume().as_gallons());
            }
            if case.expected("velocity_ft_per_s").is_some() {
                let flow = VolumeFlow::from_gallons_per_minute(case.given("flow_gpm"));
                case.close("velocity_ft_per_s", pipe.velocity(flow).as_feet_per_second());
            }
            if case.expected("longest_ft").is_some() {
                let volume = Volume::from_gallons(case.given("volume_gal"));
                case.close("longest_ft", pipe.length_holding(volume).as_feet());
            }
        }
    }

    #[test]
    fn wall_heat() {
        let water = Water::in_house(Temperature::from_fahrenheit(60.0)).unwrap();
        for case in &checks::load("water/wall_heat.toml").cases {
            let pipe = pipe(case.given_text("material"), case.given_text("size"), 1.0);
            case.close("ratio", pipe.wall_heat_ratio(&water).as_fraction());
        }
    }

    #[test]
    fn nonsense_is_refused() {
        let size = "3/4 in".parse().unwrap();
        for meters in [-1.0, f64::NAN, f64::INFINITY, 1.1e4] {
            assert!(
                Pipe::of(PipeMaterial::Pex, size, Length::from_meters(meters)).is_err(),
                "{meters}"
            );
        }
        assert!(Pipe::of(PipeMaterial::Pex, "3 in".parse().unwrap(), Length::from_feet(1.0)).is_err());
        let good = pipe("pex", "3/4 in", 1.0);
        let again = |bore_mm, outside_mm, roughness_mm| {
            Pipe::measured(
                Length::from_millimeters(bore_mm),
                Length::from_millimeters(outside_mm),
                good.length(),
                Length::from_millimeters(roughness_mm),
                good.wall(),
            )
        };
        assert!(again(17.0, 22.0, 0.0015).is_ok());
        assert!(again(17.0, 16.0, 0.0015).is_err());
        assert!(again(0.0, 22.0, 0.0015).is_err());
        assert!(again(17.0, 22.0, 1.0).is_err());
    }

    proptest! {
        #[test]
        fn volumes_add_up(lengths in proptest::collection::vec(0.0_f64..100.0, 1..20)) {
            let pipes: Vec<Pipe> = lengths.iter().map(|ft| pipe("copper-m", "1/2 in", *ft)).collect();
            let whole = pipe("copper-m", "1/2 in", lengths.iter().sum());
            prop_assert!((path_volume(&pipes).as_liters() - whole.volume().as_liters()).abs() < 1e-9);
        }
    }
}

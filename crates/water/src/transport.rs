//! Viscosity and thermal conductivity of water from density and temperature.
//!
//! In: bare SI numbers. Out: the same. Start at [`viscosity_pa_s`]. Leaves out the critical enhancement of both: it
//! matters near the critical point only, far above any house.
//!
//! Sources: IAPWS R12-08, tables 1 and 2; IAPWS R15-11, tables 1 and 2 (coefficients as carried by an open library,
//! confirmed by the verification values of both releases).

const CRITICAL_TEMPERATURE_K: f64 = 647.096;
const CRITICAL_DENSITY_KG_PER_M3: f64 = 322.0;

/// Dynamic viscosity: μ = μ₀(T)·μ₁(T, ρ).
pub(crate) fn viscosity_pa_s(density_kg_per_m3: f64, temperature_k: f64) -> f64 {
    let inverse = CRITICAL_TEMPERATURE_K / temperature_k;
    let density = density_kg_per_m3 / CRITICAL_DENSITY_KG_PER_M3;
    let thin = 100.0 / (inverse.sqrt() * polynomial(&VISCOSITY_THIN, inverse));
    let mut sum = 0.0;
    let mut power = 1.0;
    for row in &VISCOSITY_DENSE {
        sum += power * polynomial(row, density - 1.0);
        power *= inverse - 1.0;
    }
    1e-6 * thin * (density * sum).exp()
}

/// Thermal conductivity: λ = λ₀(T)·λ₁(T, ρ).
pub(crate) fn conductivity_w_per_m_k(density_kg_per_m3: f64, temperature_k: f64) -> f64 {
    let inverse = CRITICAL_TEMPERATURE_K / temperature_k;
    let density = density_kg_per_m3 / CRITICAL_DENSITY_KG_PER_M3;
    let thin = 1.0 / (inverse.sqrt() * polynomial(&CONDUCTIVITY_THIN, inverse));
    let mut sum = 0.0;
    let mut power = 1.0;
    for row in &CONDUCTIVITY_DENSE {
        sum += power * polynomial(row, density - 1.0);
        power *= inverse - 1.0;
    }
    1e-3 * thin * (density * sum).exp()
}

fn polynomial(coefficients: &[f64], x: f64) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, c| sum * x + c)
}

const VISCOSITY_THIN: [f64; 4] = [1.677_52, 2.204_62, 0.636_656_4, -0.241_605];

/// Row i holds the powers of (1/T − 1), column j those of (ρ − 1), both reduced.
const VISCOSITY_DENSE: [[f64; 7]; 6] = [
    [
        0.520_094,
        0.222_531,
        -0.281_378,
        0.161_913,
        -0.032_537_2,
        0.0,
        0.0,
    ],
    [0.085_089_5, 0.999_115, -0.906_851, 0.257_399, 0.0, 0.0, 0.0],
    [-1.083_74, 1.887_97, -0.772_479, 0.0, 0.0, 0.0, 0.0],
    [
        -0.289_555,
        1.266_13,
        -0.489_837,
        0.0,
        0.069_845_2,
        0.0,
        -0.004_356_73,
    ],
    [0.0, 0.0, -0.257_040, 0.0, 0.0, 0.008_721_02, 0.0],
    [0.0, 0.120_573, 0.0, 0.0, 0.0, 0.0, -0.000_593_264],
];

const CONDUCTIVITY_THIN: [f64; 5] = [
    2.443_221e-3,
    1.323_095e-2,
    6.770_357e-3,
    -3.454_586e-3,
    4.096_266e-4,
];

const CONDUCTIVITY_DENSE: [[f64; 6]; 5] = [
    [
        1.603_973_57,
        -0.646_013_523,
        0.111_443_906,
        0.102_997_357,
        -0.050_412_363_4,
        0.006_098_592_58,
    ],
    [
        2.337_718_42,
        -2.788_437_78,
        1.536_161_67,
        -0.463_045_512,
        0.083_282_701_9,
        -0.007_192_012_45,
    ],
    [
        2.196_505_29,
        -4.545_807_85,
        3.557_772_44,
        -1.409_449_78,
        0.275_418_278,
        -0.020_593_881_6,
    ],
    [
        -1.210_513_78,
        1.608_129_89,
        -0.621_178_141,
        0.071_637_322_4,
        0.0,
        0.0,
    ],
    [
        -2.720_337_0,
        4.575_863_31,
        -3.183_692_45,
        1.116_834_8,
        -0.192_683_05,
        0.012_913_842,
    ],
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn verification_tables_of_the_releases() {
        for case in &checks::load("water/viscosity_r12_08.toml").cases {
            let found = viscosity_pa_s(case.given("density_kg_per_m3"), case.given("temperature_k"));
            case.close("viscosity_upa_s", found * 1e6);
        }
        for case in &checks::load("water/conductivity_r15_11.toml").cases {
            let found = conductivity_w_per_m_k(case.given("density_kg_per_m3"), case.given("temperature_k"));
            case.close("conductivity_mw_per_m_k", found * 1e3);
        }
    }
}

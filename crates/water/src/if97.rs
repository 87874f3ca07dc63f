//! IAPWS-IF97 region 1 (liquid water) and region 4 (boiling line): the standard's equations and nothing else.
//!
//! In: pressure and temperature as bare SI numbers. Out: volume, enthalpy, heat capacity and their slopes. Start at
//! [`liquid`]. Knows no range but its own; `properties` sets the limits of this engine.
//!
//! Own code rather than the `seuif97` crate (2.3.8, MIT, also free of allocation and fit for WASM): only region 1 is
//! wanted, in one pass that also gives the slopes; the crate's ten thousand lines cover five regions, answer out-of-range
//! questions with a sentinel number, and give no derivative with pressure at constant temperature. Coefficients are those
//! of the standard; agreement is tested against its verification table and two independent libraries.
//!
//! Source: IAPWS R7-97(2012), equations 7 and 30, tables 2 and 34 (coefficients as carried by an open library and
//! confirmed by the verification values of tables 5 and 35).

/// Specific gas constant of water in J/(kg·K), as the standard fixes it.
const GAS_CONSTANT: f64 = 461.526;
const PRESSURE_SCALE_PA: f64 = 16.53e6;
const TEMPERATURE_SCALE_K: f64 = 1386.0;
const PI_SHIFT: f64 = 7.1;
const TAU_SHIFT: f64 = 1.222;

/// Liquid water at one state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Liquid {
    /// Specific volume, m³/kg.
    pub(crate) volume_m3_per_kg: f64,
    /// Specific enthalpy, J/kg.
    pub(crate) enthalpy_j_per_kg: f64,
    /// Specific heat at constant pressure, J/(kg·K).
    pub(crate) heat_capacity_j_per_kg_k: f64,
    /// Relative growth of volume with temperature at constant pressure, 1/K.
    pub(crate) expansion_per_k: f64,
    /// Relative loss of volume with pressure at constant temperature, 1/Pa.
    pub(crate) compressibility_per_pa: f64,
}

/// Region 1: the Gibbs energy γ(π, τ) = Σ n (7.1 − π)^I (τ − 1.222)^J and what follows from its slopes.
pub(crate) fn liquid(pressure_pa: f64, temperature_k: f64) -> Liquid {
    let pi = pressure_pa / PRESSURE_SCALE_PA;
    let tau = TEMPERATURE_SCALE_K / temperature_k;
    let powers_a = powers::<{ MOST_I + 1 }>(PI_SHIFT - pi, 1.0);
    let base_b = tau - TAU_SHIFT;
    let powers_b = powers::<{ LEAST_J + MOST_J + 1 }>(base_b, base_b.powi(-LEAST_J_EXPONENT));

    let (mut d_pi, mut d_pi_pi, mut d_tau, mut d_tau_tau, mut d_pi_tau) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for &(i, j, n) in &TERMS {
        let (exponent_i, exponent_j) = (f64::from(i), f64::from(j));
        let a = |lower: usize| {
            let i = usize::from(i);
            if i < lower { 0.0 } else { powers_a[i - lower] }
        };
        let b = |lower: i32| powers_b[usize::try_from(i32::from(j) - lower + LEAST_J_EXPONENT).unwrap_or(0)];
        d_pi -= n * exponent_i * a(1) * b(0);
        d_pi_pi += n * exponent_i * (exponent_i - 1.0) * a(2) * b(0);
        d_tau += n * a(0) * exponent_j * b(1);
        d_tau_tau += n * a(0) * exponent_j * (exponent_j - 1.0) * b(2);
        d_pi_tau -= n * exponent_i * a(1) * exponent_j * b(1);
    }
    Liquid {
        volume_m3_per_kg: pi * d_pi * GAS_CONSTANT * temperature_k / pressure_pa,
        enthalpy_j_per_kg: tau * d_tau * GAS_CONSTANT * temperature_k,
        heat_capacity_j_per_kg_k: -tau * tau * d_tau_tau * GAS_CONSTANT,
        expansion_per_k: (1.0 - tau * d_pi_tau / d_pi) / temperature_k,
        compressibility_per_pa: -d_pi_pi / d_pi / PRESSURE_SCALE_PA,
    }
}

/// Region 4: the pressure at which water of a temperature boils, in Pa.
pub(crate) fn boiling_pressure_pa(temperature_k: f64) -> f64 {
    let n = &BOILING;
    let theta = temperature_k + n[8] / (temperature_k - n[9]);
    let a = theta * theta + n[0] * theta + n[1];
    let b = n[2] * theta * theta + n[3] * theta + n[4];
    let c = n[5] * theta * theta + n[6] * theta + n[7];
    let root = 2.0 * c / (-b + (b * b - 4.0 * a * c).sqrt());
    root.powi(4) * 1e6
}

/// `first`, `first`·base, `first`·base², …
fn powers<const N: usize>(base: f64, first: f64) -> [f64; N] {
    let mut all = [first; N];
    for index in 1..N {
        all[index] = all[index - 1] * base;
    }
    all
}

const MOST_I: usize = 32;
/// Two slopes in τ lower the least exponent of the terms, −41, to −43.
const LEAST_J: usize = 43;
const LEAST_J_EXPONENT: i32 = 43;
const MOST_J: usize = 17;

/// Exponents I and J and coefficient n: R7-97 table 2.
const TERMS: [(u8, i8, f64); 34] = [
    (0, -2, 0.146_329_712_131_67),
    (0, -1, -0.845_481_871_691_14),
    (0, 0, -0.375_636_036_720_40e1),
    (0, 1, 0.338_551_691_683_85e1),
    (0, 2, -0.957_919_633_878_72),
    (0, 3, 0.157_720_385_132_28),
    (0, 4, -0.166_164_171_995_01e-1),
    (0, 5, 0.812_146_299_835_68e-3),
    (1, -9, 0.283_190_801_238_04e-3),
    (1, -7, -0.607_063_015_658_74e-3),
    (1, -1, -0.189_900_682_184_19e-1),
    (1, 0, -0.325_297_487_705_05e-1),
    (1, 1, -0.218_417_171_754_14e-1),
    (1, 3, -0.528_383_579_699_30e-4),
    (2, -3, -0.471_843_210_732_67e-3),
    (2, 0, -0.300_017_807_930_26e-3),
    (2, 1, 0.476_613_939_069_87e-4),
    (2, 3, -0.441_418_453_308_46e-5),
    (2, 17, -0.726_949_962_975_94e-15),
    (3, -4, -0.316_796_448_450_54e-4),
    (3, 0, -0.282_707_979_853_12e-5),
    (3, 6, -0.852_051_281_201_03e-9),
    (4, -5, -0.224_252_819_080_00e-5),
    (4, -2, -0.651_712_228_956_01e-6),
    (4, 10, -0.143_417_299_379_24e-12),
    (5, -8, -0.405_169_968_601_17e-6),
    (8, -11, -0.127_343_017_416_41e-8),
    (8, -6, -0.174_248_712_306_34e-9),
    (21, -29, -0.687_621_312_955_31e-18),
    (23, -31, 0.144_783_078_285_21e-19),
    (29, -38, 0.263_357_816_627_95e-22),
    (30, -39, -0.119_476_226_400_71e-22),
    (31, -40, 0.182_280_945_814_04e-23),
    (32, -41, -0.935_370_872_924_58e-25),
];

/// Coefficients n₁ to n₁₀: R7-97 table 34.
const BOILING: [f64; 10] = [
    0.116_705_214_527_67e4,
    -0.724_213_167_032_06e6,
    -0.170_738_469_400_92e2,
    0.120_208_247_024_70e5,
    -0.323_255_503_223_33e7,
    0.149_151_086_135_30e2,
    -0.482_326_573_615_91e4,
    0.405_113_405_420_57e6,
    -0.238_555_575_678_49,
    0.650_175_348_447_98e3,
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn verification_table_of_the_standard() {
        // R7-97 table 5: every digit printed.
        for case in &checks::load("water/if97_region1.toml").cases {
            let state = liquid(case.given("pressure_mpa") * 1e6, case.given("temperature_k"));
            case.close("volume_m3_per_kg", state.volume_m3_per_kg);
            case.close("enthalpy_kj_per_kg", state.enthalpy_j_per_kg / 1e3);
            case.close("heat_capacity_kj_per_kg_k", state.heat_capacity_j_per_kg_k / 1e3);
        }
    }

    #[test]
    fn boiling_line_of_the_standard() {
        for case in &checks::load("water/if97_boiling.toml").cases {
            case.close(
                "pressure_mpa",
                boiling_pressure_pa(case.given("temperature_k")) / 1e6,
            );
        }
    }

    #[test]
    fn slopes_agree_with_differences() {
        let (p, t) = (0.5e6, 310.0);
        let at = |p, t| liquid(p, t).volume_m3_per_kg;
        let state = liquid(p, t);
        let warmer = (at(p, t + 1e-3) - at(p, t - 1e-3)) / 2e-3 / state.volume_m3_per_kg;
        let pressed = -(at(p + 1e3, t) - at(p - 1e3, t)) / 2e3 / state.volume_m3_per_kg;
        assert!((state.expansion_per_k / warmer - 1.0).abs() < 1e-6, "{warmer}");
        assert!(
            (state.compressibility_per_pa / pressed - 1.0).abs() < 1e-5,
            "{pressed}"
        );
        let rise = (liquid(p, t + 1e-3).enthalpy_j_per_kg - liquid(p, t - 1e-3).enthalpy_j_per_kg) / 2e-3;
        assert!(
            (state.heat_capacity_j_per_kg_k / rise - 1.0).abs() < 1e-7,
            "{rise}"
        );
    }
}

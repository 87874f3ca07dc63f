//! Heating of the utility's transformer when several houses on it have such a heater: figures for a sheet to the utility.
//!
//! In: the record's transformer, the new heater, what one of them does to the voltage. Out: [`TransformerHeating`], one case
//! for each number of heaters that run together. The utility knows its unit and decides; usual constants stand in for it.

use crate::context::Context;
use crate::{TransformerCase, TransformerHeating};
use power::transformer_heating::{LoadSpell, heated};
use quantity::{ApparentPower, Power, Ratio, Temperature, Time};
use tables::transformer_thermal::transformer_thermal;
use trace::RecordPath;

/// More heaters than this at once are not tabulated.
const TOGETHER_MAX: u16 = 4;

/// The sheet for a new heater of that power, `step` being the sag that one of them makes at the transformer.
pub(crate) fn sheet(context: &Context<'_>, heater: Power, step: Option<Ratio>) -> TransformerHeating {
    let given = &context.given;
    let service = context.job.service.as_ref();
    let recorded = service.and_then(|service| service.transformer.as_ref());
    let place = RecordPath::from("service.transformer");
    let rating: ApparentPower = given
        .take(
            recorded.map(|unit| unit.rating),
            place.clone(),
            "service.transformer.rating",
        )
        .value;
    let houses = given
        .take_other(
            recorded.and_then(|unit| unit.houses),
            place.field("houses"),
            "service.transformer.houses",
            crate::given::count::<u16>,
        )
        .value;
    let base: Power = given
        .take(None, place.field("base_load"), "transformer_sheet.base_load")
        .value;
    let ambient: Temperature = given
        .take(None, place.field("ambient"), "transformer_sheet.ambient")
        .value;
    let draw: Time = crate::given::default_quantity("transformer_sheet.draw");
    let base_load = base.at_unity_power_factor();
    let share = |load: ApparentPower| Ratio::from_fraction(load.as_volt_amperes() / rating.as_volt_amperes());
    let others = base_load * f64::from(houses);
    let mut cases = Vec::new();
    for heaters in 0..=houses.min(TOGETHER_MAX) {
        let load = others + heater.at_unity_power_factor() * f64::from(heaters);
        let spell = LoadSpell {
            ambient,
            before: share(others),
            during: share(load),
            time: draw,
        };
        // Past what the model covers more heaters are past it too.
        let Ok(found) = heated(&spell) else { break };
        cases.push(TransformerCase {
            heaters,
            load,
            share: share(load),
            hot_spot: found.hot_spot,
            top_oil: found.top_oil,
            aging: found.aging,
            sag: Ratio::from_fraction(step.map_or(0.0, Ratio::as_fraction) * f64::from(heaters)),
        });
    }
    TransformerHeating {
        rating,
        rating_recorded: recorded.is_some(),
        houses,
        base_load,
        heater,
        ambient,
        draw,
        cases,
        basis: vec![
            format!(
                "thermal model with usual constants: {}",
                transformer_thermal().source
            ),
            "steady with the other load before the draw; heaters start together and run the whole draw"
                .to_owned(),
        ],
    }
}

//! From the record's words to the engines' and tables' words. A table of names, no decision.

use job::{CableType, ConductorMaterial, ElectricalEdition, PipeMaterial, Raceway, SupplySystem};
use tables::nec::NecEdition;

pub(crate) fn edition(edition: ElectricalEdition) -> NecEdition {
    match edition {
        ElectricalEdition::Nec2017 => NecEdition::Nec2017,
        ElectricalEdition::Nec2020 => NecEdition::Nec2020,
        ElectricalEdition::Nec2023 => NecEdition::Nec2023,
    }
}

pub(crate) fn supply(system: SupplySystem) -> &'static str {
    match system {
        SupplySystem::SplitPhase120_240 => "120/240 V",
        SupplySystem::TwoLegs120_208 => "120/208 V",
        SupplySystem::Single230 => "230 V",
        SupplySystem::ThreePhase230_400 => "230/400 V",
    }
}

pub(crate) fn metal(material: ConductorMaterial) -> tables::conductor::ConductorMaterial {
    match material {
        ConductorMaterial::Copper => tables::conductor::ConductorMaterial::Copper,
        ConductorMaterial::Aluminum => tables::conductor::ConductorMaterial::Aluminum,
    }
}

pub(crate) fn raceway(raceway: Raceway) -> tables::conduit::Raceway {
    match raceway {
        Raceway::Emt => tables::conduit::Raceway::Emt,
        Raceway::Pvc40 => tables::conduit::Raceway::Pvc40,
        Raceway::Pvc80 => tables::conduit::Raceway::Pvc80,
    }
}

pub(crate) fn cable(cable: CableType) -> &'static str {
    match cable {
        CableType::NmB => "NM-B",
        CableType::UfB => "UF-B",
        CableType::Se => "SE",
        CableType::Mc => "MC",
        CableType::Thwn2 => "THWN-2",
    }
}

/// The rule book's word for how a circuit is run.
pub(crate) fn wiring_method(cable: CableType, raceway: Option<Raceway>) -> &'static str {
    match (cable, raceway) {
        (_, Some(Raceway::Emt)) | (CableType::Thwn2, None) => "EMT",
        (_, Some(Raceway::Pvc40 | Raceway::Pvc80)) => "PVC conduit",
        (CableType::NmB, None) => "NM cable",
        (CableType::UfB, None) => "UF cable",
        (CableType::Se, None) => "SE cable",
        (CableType::Mc, None) => "MC cable",
    }
}

pub(crate) fn pipe_material(material: PipeMaterial) -> tables::pipe::PipeMaterial {
    match material {
        PipeMaterial::CopperK => tables::pipe::PipeMaterial::CopperK,
        PipeMaterial::CopperL => tables::pipe::PipeMaterial::CopperL,
        PipeMaterial::CopperM => tables::pipe::PipeMaterial::CopperM,
        PipeMaterial::Pex => tables::pipe::PipeMaterial::Pex,
        PipeMaterial::Cpvc => tables::pipe::PipeMaterial::Cpvc,
    }
}

//! The elements of a Green Button feed that mean something to the import; all others are one.

macro_rules! elements {
    ($($variant:ident $name:literal),+ $(,)?) => {
        /// Elements that mean something here.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub(crate) enum Element { $($variant,)+ Other }

        impl Element {
            pub(crate) fn named(name: &str) -> Self {
                match name { $($name => Self::$variant,)+ _ => Self::Other }
            }
            pub(crate) fn name(self) -> &'static str {
                match self { $(Self::$variant => $name,)+ Self::Other => "another element" }
            }
        }
    };
}

elements! {
    Start "start", Duration "duration", TimePeriod "timePeriod", Value "value", IntervalReading "IntervalReading",
    Quality "quality", ReadingQuality "ReadingQuality", IntervalBlock "IntervalBlock",
    Entry "entry", Link "link", Title "title", UsagePoint "UsagePoint", ServiceCategory "ServiceCategory", Kind "kind",
    MeterReading "MeterReading", ReadingType "ReadingType", Uom "uom", Multiplier "powerOfTenMultiplier",
    FlowDirection "flowDirection", Commodity "commodity", Accumulation "accumulationBehaviour",
    DefaultQuality "defaultQuality", LocalTimeParameters "LocalTimeParameters", Offset "tzOffset",
    SummerOffset "dstOffset", SummerFrom "dstStartRule", SummerTo "dstEndRule", Feed "feed",
}

//! Green Button feeds made up for tests and benchmarks: the shape of the public sample files, any length.
//!
//! In: how many readings. Out: a feed as text, whole or by pieces.

use std::fmt::Write as _;

/// First start: 2024-01-01 00:00 in UTC−8.
pub(crate) const START_S: i64 = 1_704_096_000;
const PER_BLOCK: i64 = 96;
const HREF: &str = "https://example.org/espi/1_1/resource";

/// What stands before the first block.
pub(crate) fn head() -> String {
    format!(
        r#"<?xml version="1.0" encoding="UTF-8"?>
<feed xmlns="http://www.w3.org/2005/Atom" xmlns:espi="http://naesb.org/espi">
 <id>urn:uuid:DE33D836-583A-4F1F-A25D-000000000000</id>
 <title>Green Button Subscription Feed</title>
 <entry><link rel="self" href="{HREF}/RetailCustomer/1/UsagePoint/1"/><title>House</title>
  <content><UsagePoint xmlns="http://naesb.org/espi"><ServiceCategory><kind>0</kind></ServiceCategory></UsagePoint></content>
 </entry>
 <entry><link rel="self" href="{HREF}/LocalTimeParameters/1"/>
  <content><LocalTimeParameters xmlns="http://naesb.org/espi"><dstEndRule>B40E2000</dstEndRule><dstOffset>3600</dstOffset>
   <dstStartRule>360E2000</dstStartRule><tzOffset>-28800</tzOffset></LocalTimeParameters></content>
 </entry>
 <entry><link rel="self" href="{HREF}/RetailCustomer/1/UsagePoint/1/MeterReading/1"/>
  <link rel="related" href="{HREF}/ReadingType/1"/>
  <content><MeterReading xmlns="http://naesb.org/espi"/></content>
 </entry>
 <entry><link rel="self" href="{HREF}/ReadingType/1"/>
  <content><ReadingType xmlns="http://naesb.org/espi"><accumulationBehaviour>4</accumulationBehaviour><commodity>1</commodity>
   <flowDirection>1</flowDirection><intervalLength>900</intervalLength><kind>12</kind>
   <powerOfTenMultiplier>0</powerOfTenMultiplier><uom>72</uom></ReadingType></content>
 </entry>
"#
    )
}

/// Value of a reading in watt-hours: a quiet night, a busy evening, some scatter.
pub(crate) fn value_wh(index: i64) -> i64 {
    let hour = index / 4 % 24;
    let base = if (17..22).contains(&hour) { 400 } else { 90 };
    base + index * 7919 % 113
}

/// One block of a day from reading `first` on, with `count` readings.
pub(crate) fn block(first: i64, count: i64) -> String {
    let mut text = String::with_capacity(24_000);
    let start = START_S + first * 900;
    let _ = write!(
        text,
        r#" <entry>
  <id>urn:uuid:{first:08X}-583A-4F1F-A25D-EEEDCFBCA19E</id>
  <link rel="self" href="{HREF}/RetailCustomer/1/UsagePoint/1/MeterReading/1/IntervalBlock/{first}"/>
  <link rel="up" href="{HREF}/RetailCustomer/1/UsagePoint/1/MeterReading/1/IntervalBlock"/>
  <title/>
  <content>
   <IntervalBlock xmlns="http://naesb.org/espi">
    <interval>
     <duration>{}</duration>
     <start>{start}</start>
    </interval>
"#,
        count * 900
    );
    for index in first..first + count {
        let _ = write!(
            text,
            "    <IntervalReading>\n     <timePeriod>\n      <duration>900</duration>\n      <start>{}</start>\n     \
             </timePeriod>\n     <value>{}</value>\n    </IntervalReading>\n",
            START_S + index * 900,
            value_wh(index)
        );
    }
    text.push_str(
        "   </IntervalBlock>\n  </content>\n  <published>2024-01-01T00:00:00Z</published>\n </entry>\n",
    );
    text
}

/// A whole feed of quarter hours.
pub(crate) fn feed(readings: i64) -> String {
    let mut text = head();
    let mut first = 0;
    while first < readings {
        let count = PER_BLOCK.min(readings - first);
        text.push_str(&block(first, count));
        first += count;
    }
    text.push_str("</feed>\n");
    text
}

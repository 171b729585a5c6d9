//! A filled build sheet: invented numbers of the right kind around any circuit.

mod charts;

use charts::{band, counts, response, tail};
use circuit::{Circuit, Element};
use sheet::{
    BuildSheet, Bypass, ExtraPart, Figure, FirstTry, HalfSupply, Notice, PinVoltage, PowerUp,
    Severity, SpreadAdvice, SpreadSummary, TestPoint, ToneLevels, ToneTest,
};
use units::{Amperes, Decibels, Hertz, Ohms, Volts};

fn figure(name: &str, value: &str, asked: Option<&str>, definition: &str) -> Figure {
    Figure {
        name: name.to_owned(),
        value: value.to_owned(),
        definition: definition.to_owned(),
        asked: asked.map(str::to_owned),
    }
}

/// A sheet around a circuit.
pub(crate) fn sheet(circuit: Circuit) -> BuildSheet {
    let mut sheet = BuildSheet::new(circuit);
    sheet.subtitle = "Morse filter for 650 Hz at 22 wpm, on a 9 V battery".to_owned();
    sheet.made_by = "Narrows 0.1.0".to_owned();
    sheet.figures = vec![
        figure(
            "Pitch",
            "650 Hz",
            Some("650 Hz"),
            "What the ear is to hear.",
        ),
        figure(
            "Width, 6 dB down",
            "133 Hz",
            Some("180 Hz"),
            "Full width between the frequencies where the gain is 6 dB below that at the pitch.",
        ),
        figure(
            "Tail, 20 dB down",
            "10.4 ms, 0.19 dit",
            Some("12 ms"),
            "Last time after key-up that the envelope is above −20 dB of the settled tone.",
        ),
        figure(
            "Supply current",
            "7.2 mA",
            None,
            "Without a signal, at 9 V.",
        ),
    ];
    sheet.assumed = vec!["tail 12 ms: a quarter of a dit at 22 wpm".to_owned()];
    sheet.notices = vec![Notice {
        severity: Severity::Caution,
        text: "the strongest signal clips stage 1 at 1.4 V rms".to_owned(),
        why: "what clips before the filter makes tones that no filter removes".to_owned(),
        advice: "turn the receiver down, or fit the input attenuator".to_owned(),
    }];
    sheet.response = Some(response(&[("three stages", 4.0)]));
    sheet.spread = Some(spread());
    sheet.tail = Some(tail(&[("three stages", 4.0)]));
    bench(&mut sheet);
    sheet.part_notes = vec![("C11".to_owned(), "match to C12 within 2 %".to_owned())];
    sheet.extras = vec![
        ExtraPart {
            references: vec!["J1".to_owned(), "J2".to_owned()],
            quantity: 2,
            what: "3.5 mm jack, switched".to_owned(),
            note: "bond the input jack's sleeve to the box".to_owned(),
        },
        ExtraPart {
            references: vec!["S1".to_owned()],
            quantity: 1,
            what: "toggle switch, three poles".to_owned(),
            note: String::new(),
        },
    ];
    sheet.phones = true;
    sheet.bypass = Some(Bypass {
        switch: "S1".to_owned(),
        jacks: ["J1", "J2", "J3"].map(str::to_owned),
        step: Decibels(0.2),
        switches_supply: true,
    });
    sheet.cautions = vec![
        "The loudest this box can do into your phones is about 104 dB SPL: \
                           fit the series resistor."
            .to_owned(),
    ];
    sheet
}

fn half(place: &str) -> HalfSupply {
    HalfSupply {
        place: place.to_owned(),
        expected: Volts(4.5),
        within: Volts(0.1),
    }
}

/// Power-up and tone test, with a test point at every amplifier's output.
fn bench(sheet: &mut BuildSheet) {
    let mut pins = Vec::new();
    for part in &sheet.circuit.parts {
        let Element::Opamp(amp) = &part.element else {
            continue;
        };
        let package = part.package().name.to_owned();
        let unit = part.package().place();
        let letter = char::from(b'A' + unit as u8);
        let (plus, minus, out) = amp.model.pinout.units[unit];
        for (pin, function) in [
            (out, format!("output {letter}")),
            (minus, format!("− input {letter}")),
            (plus, format!("+ input {letter}")),
        ] {
            pins.push(PinVoltage {
                package: package.clone(),
                pin,
                function,
                expected: Volts(4.5),
                within: Volts(0.25),
            });
        }
        let number = sheet.test_points.len() + 1;
        sheet.test_points.push(TestPoint {
            name: format!("TP{number}"),
            node: amp.out,
            place: format!("{package} pin {out}"),
        });
    }
    pins.sort_by(|a, b| (&a.package, a.pin).cmp(&(&b.package, b.pin)));
    let dry = sheet.circuit.supply.is_none();
    sheet.power_up = (!dry).then_some(PowerUp {
        supply: Volts(9.0),
        current: Amperes(7.2e-3),
        stop_above: Amperes(14.4e-3),
        series: Some(FirstTry {
            value: Ohms(100.0),
            drop: Volts(0.72),
            stop_above: Volts(1.44),
        }),
        divider: Some(half("where R90 and R91 meet")),
        mid: Some(half("node mid")),
        pins,
    });
    let levels = sheet.test_points.iter().map(|t| ToneLevels {
        point: t.name.clone(),
        gain: vec![Decibels(-21.3), Decibels(-0.1), Decibels(-17.8)],
        within: vec![Decibels(1.5), Decibels(0.5), Decibels(1.5)],
    });
    sheet.tone_test = Some(ToneTest {
        drive: Volts(0.1),
        frequencies: vec![
            (Hertz(450.0), "pitch − 200 Hz".to_owned()),
            (Hertz(650.0), "pitch".to_owned()),
            (Hertz(850.0), "pitch + 200 Hz".to_owned()),
        ],
        basis: "± covers parts of 5 %.".to_owned(),
        levels: levels.collect(),
    });
}

/// What real parts do, invented.
fn spread() -> SpreadSummary {
    SpreadSummary {
        good: "Of 2000 builds on paper 81 % are good.".to_owned(),
        limits: vec!["the tail at most 15 ms <long> – missed by 19 %".to_owned()],
        curve: band(),
        centres: Some(counts()),
        advice: vec![SpreadAdvice {
            good: "97 %".to_owned(),
            centre: "640 to 661 Hz".to_owned(),
            text: "pair C11 with C12 & C21 with C22".to_owned(),
        }],
        assumed: vec!["resistors of 1 %: normal".to_owned()],
    }
}

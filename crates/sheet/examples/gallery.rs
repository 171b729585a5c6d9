//! Draws the boards of the tests, for looking at: `cargo run -p sheet --example gallery -- DIR`.

#[path = "../tests/boards/mod.rs"]
mod boards;
#[path = "../tests/samples/mod.rs"]
mod samples;

use sheet::{SchematicStyle, Symbols, schematic, sheet_html, svg};

fn main() -> std::io::Result<()> {
    let dir = std::env::args().nth(1).unwrap_or_else(|| ".".to_owned());
    std::fs::create_dir_all(&dir)?;
    for (number, (name, circuit)) in boards::all().into_iter().enumerate() {
        let style = SchematicStyle {
            symbols: [Symbols::Iec60617, Symbols::Ieee315][number % 2],
            ..SchematicStyle::default()
        };
        let picture = schematic(&circuit, &style);
        std::fs::write(format!("{dir}/{name}.svg"), svg(&picture.drawing))?;
        let html = sheet_html(&samples::sheet(circuit));
        std::fs::write(format!("{dir}/{name}.html"), html)?;
    }
    Ok(())
}

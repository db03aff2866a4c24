//! Units as other libraries name them.

/// Our symbol for a unit as other libraries name it: `gallon/minute` is `gpm`.
pub(crate) fn symbol(name: &str) -> String {
    const WORDS: [(&str, &str); 32] = [
        ("inch", "in"),
        ("foot", "ft"),
        ("yard", "yd"),
        ("millimeter", "mm"),
        ("centimeter", "cm"),
        ("meter", "m"),
        ("cubic_foot", "ft3"),
        ("cubic_meter", "m3"),
        ("gallon", "gal"),
        ("imperial_gallon", "impgal"),
        ("quart", "qt"),
        ("fluid_ounce", "floz"),
        ("liter", "L"),
        ("milliliter", "mL"),
        ("second", "s"),
        ("minute", "min"),
        ("hour", "h"),
        ("pound", "lb"),
        ("ounce", "oz"),
        ("kilogram", "kg"),
        ("gram", "g"),
        ("force_pound", "lbf"),
        ("newton", "N"),
        ("kilopascal", "kPa"),
        ("megapascal", "MPa"),
        ("inch_Hg", "inHg"),
        ("joule", "J"),
        ("kilojoule", "kJ"),
        ("megajoule", "MJ"),
        ("kilowatt", "kW"),
        ("degree_Fahrenheit", "degF"),
        ("degree_Celsius", "degC"),
    ];
    let known = |word: &str| {
        let said = WORDS.iter().find(|(name, _)| *name == word);
        said.map_or_else(|| word.to_owned(), |(_, symbol)| (*symbol).to_owned())
    };
    let whole = name.split('/').map(known).collect::<Vec<_>>().join("/");
    match whole.as_str() {
        "gal/min" => "gpm".to_owned(),
        "gal/h" => "gph".to_owned(),
        "impgal/min" => "impgpm".to_owned(),
        _ => whole,
    }
}

//! Tells Cargo to build again when a file that is embedded in the program is added.

fn main() {
    println!("cargo::rerun-if-changed=../../content/trade");
    println!("cargo::rerun-if-changed=../../themes");
}

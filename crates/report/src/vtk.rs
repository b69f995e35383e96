//! Fields for general viewers: VTK XML rectilinear grids, one file for each instant, and a collection that names them.

use std::fmt::Write;

use study::Volume;

use crate::html::base64;

/// Name and bytes of each file of a field, the collection last. The names are the same for every scenario, so that no text
/// of a scenario can lead out of a folder.
///
/// Each grid has the lines x, y and z in metres (z grows into the metal), the temperature in Celsius (`temperature_c`) and
/// whether there is metal (`metal`, 1 or 0) at its points. Numbers are 32-bit floats and bytes in base64 within the XML.
pub fn vtk_files(volume: &Volume) -> Vec<(String, Vec<u8>)> {
    let name = |number: usize| format!("field_{number:04}.vtr");
    let mut collection = String::from(
        "<?xml version=\"1.0\"?>\n<VTKFile type=\"Collection\" version=\"1.0\" byte_order=\"LittleEndian\">\n<Collection>\n",
    );
    let mut files = Vec::new();
    for (number, (time_s, temperature_c)) in volume.frames.iter().enumerate() {
        // Writing into a string cannot fail.
        let _ = writeln!(collection, "<DataSet timestep=\"{time_s}\" part=\"0\" file=\"{}\"/>", name(number));
        files.push((name(number), grid(volume, temperature_c).into_bytes()));
    }
    collection.push_str("</Collection>\n</VTKFile>\n");
    files.push(("field.pvd".to_owned(), collection.into_bytes()));
    files
}

fn grid(volume: &Volume, temperature_c: &[f64]) -> String {
    let [x, y, z] = volume.lines.each_ref().map(|line| line.len() - 1);
    let extent = format!("0 {x} 0 {y} 0 {z}");
    let lines: String = ["x", "y", "z"].iter().zip(&volume.lines).map(|(name, line)| floats(name, line)).collect();
    let metal: Vec<u8> = volume.metal.iter().map(|&metal| u8::from(metal)).collect();
    format!(
        "<?xml version=\"1.0\"?>\n<VTKFile type=\"RectilinearGrid\" version=\"1.0\" byte_order=\"LittleEndian\" \
         header_type=\"UInt64\">\n<RectilinearGrid WholeExtent=\"{extent}\">\n<Piece Extent=\"{extent}\">\n\
         <PointData Scalars=\"temperature_c\">\n{}{}</PointData>\n<Coordinates>\n{lines}</Coordinates>\n</Piece>\n\
         </RectilinearGrid>\n</VTKFile>\n",
        floats("temperature_c", temperature_c),
        array("UInt8", "metal", &metal)
    )
}

fn floats(name: &str, values: &[f64]) -> String {
    let bytes: Vec<u8> = values.iter().flat_map(|value| (*value as f32).to_le_bytes()).collect();
    array("Float32", name, &bytes)
}

/// An array: eight bytes that count it, then its bytes, all in base64.
fn array(kind: &str, name: &str, bytes: &[u8]) -> String {
    let length = (bytes.len() as u64).to_le_bytes();
    let coded = base64(&[&length, bytes].concat());
    format!(
        "<DataArray type=\"{kind}\" Name=\"{name}\" NumberOfComponents=\"1\" format=\"binary\">{coded}</DataArray>\n"
    )
}

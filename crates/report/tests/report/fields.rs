//! Field files, read back by an independent reader.

use report::vtk_files;
use study::Volume;
use vtkio::model::{Attribute, DataSet, Piece, Vtk};

fn volume() -> Volume {
    let lines = [vec![0.0, 0.1, 0.25], vec![0.0, 0.5], vec![0.0, 0.01, 0.03, 0.07]];
    let count = 3 * 2 * 4;
    let frame = |hot: f64| (0..count).map(|n| hot + f64::from(n as u8) / 8.0).collect::<Vec<f64>>();
    let metal = (0..count).map(|n| n != 5).collect();
    Volume { lines, metal, frames: vec![(0.0, frame(20.0)), (12.5, frame(300.0))] }
}

#[test]
fn a_grid_reads_back_with_its_lines_its_temperatures_and_its_metal() {
    let (volume, files) = (volume(), vtk_files(&volume()));
    for (number, (_, temperature_c)) in volume.frames.iter().enumerate() {
        let vtk = Vtk::parse_xml(files[number].1.as_slice()).unwrap();
        let DataSet::RectilinearGrid { pieces, .. } = vtk.data else { panic!("not a rectilinear grid") };
        let Piece::Inline(piece) = &pieces[0] else { panic!("not inline") };
        let coords = [&piece.coords.x, &piece.coords.y, &piece.coords.z];
        for (read, line) in coords.into_iter().zip(&volume.lines) {
            let read: Vec<f32> = read.clone().into_vec().unwrap();
            assert_eq!(read, line.iter().map(|&at| at as f32).collect::<Vec<f32>>());
        }
        let Attribute::DataArray(temperature) = &piece.data.point[0] else { panic!("no array") };
        let read: Vec<f32> = temperature.data.clone().into_vec().unwrap();
        assert_eq!((temperature.name.as_str(), read.len()), ("temperature_c", 24));
        assert!(read.iter().zip(temperature_c).all(|(read, &written)| *read == written as f32));
        let Attribute::DataArray(metal) = &piece.data.point[1] else { panic!("no array") };
        let read: Vec<u8> = metal.data.clone().into_vec().unwrap();
        assert_eq!((read[4], read[5], read[6]), (1, 0, 1));
    }
}

#[test]
fn the_collection_comes_last_and_names_every_grid_with_its_time() {
    let files = vtk_files(&volume());
    let (name, bytes) = files.last().unwrap();
    assert_eq!(name, "field.pvd");
    let text = String::from_utf8(bytes.clone()).unwrap();
    let document = roxmltree::Document::parse(&text).unwrap();
    let sets: Vec<(String, String)> = document
        .descendants()
        .filter(|node| node.has_tag_name("DataSet"))
        .map(|node| ["timestep", "file"].map(|name| node.attribute(name).unwrap().to_owned()).into())
        .collect();
    assert_eq!(sets, [("0".into(), "field_0000.vtr".into()), ("12.5".into(), "field_0001.vtr".into())]);
    assert!(files.iter().all(|(name, _)| !name.contains(['/', '\\']) && !name.contains("..")));
}

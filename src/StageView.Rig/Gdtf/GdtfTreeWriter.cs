using System.Globalization;
using System.Numerics;
using System.Xml.Linq;
using StageView.Ground.Numbers;
using StageView.Light.Geometry;
using StageView.Light.Photometry;
using StageView.Rig.ModelReaders;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;

namespace StageView.Rig.Gdtf;

/// <summary>Writes a mode's geometry as a GDTF tree with its models; a body that is set off from its geometry gets a geometry of its own.</summary>
internal sealed class GdtfTreeWriter
{
    private readonly RigScene _rig;
    private readonly List<string> _notes;
    private readonly Dictionary<(int, BodyShape, Vector3), string> _models = [];

    public GdtfTreeWriter(RigScene rig, List<string> notes)
    {
        _rig = rig;
        _notes = notes;
    }

    public XElement Models { get; } = new("Models");

    public XElement Geometries { get; } = new("Geometries");

    /// <summary>3DS files of the models, by their name.</summary>
    public Dictionary<string, byte[]> Files { get; } = [];

    /// <param name="mode">The mode.</param>
    /// <param name="prefix">Before each name, so that the trees of several modes don't share names.</param>
    /// <param name="blocks">Pixel blocks that are written as references.</param>
    /// <returns>Names of the mode's geometries, and the geometry that stands for a pixel of each block.</returns>
    public (string[] Names, Dictionary<PixelBlock, string> Pixels) Add(FixtureMode mode, string prefix, IReadOnlyList<PixelBlock> blocks)
    {
        var names = mode.Geometry.Select(g => GdtfText.Name(prefix + g.Name)).ToArray();
        var pixels = new Dictionary<PixelBlock, string>();
        var elements = new XElement[mode.Geometry.Count];
        foreach (var g in mode.Geometry)
        {
            var e = elements[g.Index] = Element(g, names[g.Index]);
            (g.Parent < 0 ? Geometries : elements[g.Parent]).Add(e);
            if (g.Body is { } body)
            {
                e.Add(new XElement("Geometry", new XAttribute("Name", names[g.Index] + " body"), new XAttribute("Model", Model(body)),
                    new XAttribute("Position", GdtfText.Matrix(body.Offset))));
            }

            if (g.Mirror is not null)
            {
                _notes.Add($"mirror {g.Name}: the format has no mirrors");
            }

            if (g.Pixels is { } grid && blocks.FirstOrDefault(b => b.Geometry == g.Index) is { } block)
            {
                var pixel = pixels[block] = names[g.Index] + " pixel";
                AddPixels(e, grid, block, pixel);
            }
            else if (g.Pixels is not null)
            {
                _notes.Add($"pixels of {g.Name}: they run past address 512 of their break or share addresses with channels");
            }
        }

        return (names, pixels);
    }

    private static XElement Element(GeometryNode g, string name)
    {
        var common = new object[] { new XAttribute("Name", name), new XAttribute("Position", GdtfText.Matrix(g.Pose)) };
        if (g.Beam is { } b)
        {
            return new XElement(
                "Beam", common,
                new XAttribute("BeamType", b.Form == BeamForm.Rectangle ? "Rectangle"
                    : b.Kind switch { BeamKind.Spot => "Spot", BeamKind.Glow => "Glow", _ => "Wash" }),
                new XAttribute("LuminousFlux", GdtfText.Number(b.LuminousFlux)),
                new XAttribute("ColorTemperature", GdtfText.Number(b.ColourTemperature)),
                new XAttribute("BeamAngle", GdtfText.Number(Angles.Degrees(b.BeamAngle))),
                new XAttribute("FieldAngle", GdtfText.Number(Angles.Degrees(b.FieldAngle))),
                b.Form == BeamForm.Rectangle ? new XAttribute("ThrowRatio", GdtfText.Number(.5f / Trig.Tan(b.BeamAngle / 2))) : null,
                b.Form == BeamForm.Rectangle
                    ? new XAttribute("RectangleRatio", GdtfText.Number(Trig.Tan(b.BeamAngle / 2) / Trig.Tan(b.BeamAngleUp / 2))) : null,
                new XAttribute("BeamRadius", GdtfText.Number(b.GlobeRadius > 0 ? b.GlobeRadius : b.LensRadius)));
        }

        if (g.Laser is { } l)
        {
            return new XElement(
                "Laser", common,
                new XAttribute("ColorType", l.Wavelengths.Length > 1 ? "RGB" : "SingleWaveLength"),
                new XAttribute("Color", GdtfText.Number(l.Wavelengths[0])),
                new XAttribute("OutputStrength", GdtfText.Number(l.PowerWatts)),
                new XAttribute("BeamDiameter", GdtfText.Number(l.ApertureMetres)),
                new XAttribute("BeamDivergenceMin", GdtfText.Number(1000 * l.DivergenceRadians)),
                new XAttribute("BeamDivergenceMax", GdtfText.Number(1000 * l.DivergenceRadians)));
        }

        return new XElement(g.Axis is null ? "Geometry" : "Axis", common);
    }

    /// <summary>One geometry for all pixels, and a reference for each: the first column lies at +X, row 0 on top.</summary>
    private void AddPixels(XElement holder, PixelGridData grid, PixelBlock block, string pixel)
    {
        var pitch = new Vector2(grid.Width / grid.Columns, grid.Height / grid.Rows);
        var side = MathF.Sqrt(grid.Fill) * MathF.Min(pitch.X, pitch.Y);

        // A Lambertian face of luminance L and area A gives π·L·A.
        Geometries.Add(new XElement(
            "Beam", new XAttribute("Name", pixel), new XAttribute("BeamType", "Glow"), new XAttribute("BeamRadius", GdtfText.Number(side / 2)),
            new XAttribute("LuminousFlux", GdtfText.Number(MathF.PI * grid.PeakLuminance * grid.Fill * pitch.X * pitch.Y))));
        for (var n = 0; n < grid.Columns * grid.Rows; n++)
        {
            var (column, row) = block.Path.Wired(n, grid.Columns, grid.Rows);
            var at = Pose.At((grid.Width / 2) - ((column + .5f) * pitch.X), (grid.Height / 2) - ((row + .5f) * pitch.Y), 0);
            holder.Add(new XElement(
                "GeometryReference",
                new XAttribute("Name", string.Create(CultureInfo.InvariantCulture, $"{pixel} {n + 1}")),
                new XAttribute("Geometry", pixel),
                new XAttribute("Position", GdtfText.Matrix(at)),
                new XElement("Break", new XAttribute("DMXBreak", block.Break),
                    new XAttribute("DMXOffset", block.FirstOffset + (n * block.Order.Length * block.BytesPerComponent)))));
        }
    }

    private string Model(BodyData body)
    {
        var key = (body.Mesh, body.Shape, body.Size);
        if (_models.TryGetValue(key, out var known))
        {
            return known;
        }

        var name = _models[key] = string.Create(CultureInfo.InvariantCulture, $"model {_models.Count + 1}");
        var size = body.Size;
        var file = "";
        if (body.Shape == BodyShape.Mesh)
        {
            file = string.Create(CultureInfo.InvariantCulture, $"model{_models.Count}");
            var (low, high) = MeshScaling.Bounds(_rig.Meshes[body.Mesh]);
            size *= high - low;
            Files[file] = TdsWriter.Write(_rig.Meshes[body.Mesh]);
        }

        Models.Add(new XElement(
            "Model", new XAttribute("Name", name), new XAttribute("Length", GdtfText.Number(size.X)), new XAttribute("Width", GdtfText.Number(size.Y)),
            new XAttribute("Height", GdtfText.Number(size.Z)),
            new XAttribute("PrimitiveType",
                body.Shape switch { BodyShape.Box => "Cube", BodyShape.Cylinder => "Cylinder", BodyShape.Sphere => "Sphere", _ => "Undefined" }),
                new XAttribute("File", file)));
        return name;
    }
}

using System.Globalization;
using System.Numerics;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Rig.Archives;
using StageView.Rig.Assets;
using StageView.Rig.Solids;
using StageView.Rig.Source;

namespace StageView.Rig.Profiles;

/// <summary>Reads the geometry of a JSON profile, repeats laid out, parents before children.</summary>
internal sealed class GeometryReader
{
    private const int MaxNodes = 20_000;
    private readonly RigAssets _assets;
    private readonly string _file;
    private readonly ProblemList _problems;
    private readonly FigureReader _figures;
    private readonly List<GeometryNode> _nodes = [];
    private readonly Dictionary<string, List<int>> _copies = new(StringComparer.Ordinal);
    private readonly HashSet<string> _names = new(StringComparer.Ordinal);
    private bool _stopped;

    public GeometryReader(RigAssets assets, string file, ProblemList problems)
    {
        _assets = assets;
        _file = file;
        _problems = problems;
        _figures = new FigureReader(assets, file, problems);
    }

    public GeometryTree? Read(SourceNode profile, SourceNode mode)
    {
        var roots = profile.ListOf("geometry");
        var root = roots[0];
        if (mode.Get("geometry") is { } named)
        {
            var found = roots.FirstOrDefault(r => r.TextOr("name") == named.Text);
            if (found is null)
            {
                _problems.Error(named, $"no geometry named \"{named.Text}\" at the top{Nearest.Hint(named.Text, roots.Select(r => r.TextOr("name")))}");
                return null;
            }

            root = found;
        }

        Add(root, -1, "");
        return new GeometryTree(_nodes, _copies.ToDictionary(c => c.Key, c => (IReadOnlyList<int>)c.Value));
    }

    private void Add(SourceNode node, int parent, string suffix)
    {
        var name = node.TextOr("name");
        if (node.Get("repeat") is { } repeat)
        {
            var count = repeat.IntegerOr("count", 1);
            for (var i = 0; i < count && !_stopped; i++)
            {
                var share = count == 1 ? .5f : i / (float)(count - 1);
                var at = Vector3.Lerp(repeat.VectorOr("from", default), repeat.VectorOr("to", default), share);
                var turn = Vector3.Lerp(repeat.VectorOr("turnFrom", default), repeat.VectorOr("turnTo", default), share);
                var pose = Pose.FromDegrees(at, turn).Compose(node.PoseOf());
                AddOne(node, parent, pose, string.Create(CultureInfo.InvariantCulture, $"{suffix} {i + 1}"), name);
            }
        }
        else
        {
            AddOne(node, parent, node.PoseOf(), suffix, name);
        }
    }

    private void AddOne(SourceNode node, int parent, Pose pose, string suffix, string name)
    {
        var index = _nodes.Count;
        if (index >= MaxNodes || !_assets.Budget.Nodes(1))
        {
            _problems.Error(node, index >= MaxNodes ? $"more than {MaxNodes} geometries after all repeats" : ArchiveBudget.TooManyNodes);
            _stopped = true;
            return;
        }

        if (!_names.Add(name + suffix))
        {
            _problems.Error(node, $"there is another geometry named \"{name + suffix}\": names are unique in a profile");
        }

        _nodes.Add(new GeometryNode
        {
            Index = index,
            Name = name + suffix,
            Parent = parent,
            Pose = pose,
            Axis = node.Get("axis") is { } a ? ReadAxis(a) : null,
            Beam = node.Get("beam") is { } b ? ReadBeam(b) : null,
            Pixels = node.Get("pixels") is { } p ? ReadPixels(p) : null,
            Mirror = node.Get("mirror") is { } m ? ReadMirror(m) : null,
            Laser = node.Get("laser") is { } l ? ReadLaser(l) : null,
            Body = node.Get("body") is { } body ? ReadBody(body) : null,
        });
        if (!_copies.TryGetValue(name, out var list))
        {
            _copies[name] = list = [];
        }

        list.Add(index);
        foreach (var part in node.ListOf("parts").TakeWhile(_ => !_stopped))
        {
            Add(part, index, suffix);
        }
    }

    private static AxisData ReadAxis(SourceNode a) => new(
        a.TextOr("motion") switch { "pan" => AxisMotion.TurnZ, "tilt" => AxisMotion.TurnX, _ => AxisMotion.TravelZ },
        a.NumberOr("speed", 0),
        a.NumberOr("acceleration", 0),
        a.NumberOr("settle", 0));

    private BeamData ReadBeam(SourceNode b)
    {
        var kind = b.TextOr("kind", "spot") switch { "wash" => BeamKind.Wash, "glow" => BeamKind.Glow, _ => BeamKind.Spot };
        var two = b.Get("beamAngle") is { Items.Count: 2 } given ? given : null;
        var beam = two is null ? b.NumberOr("beamAngle", 25) : (float)two.Items[0].Number;
        var outline = b.TextOr("outline", two is null ? "round" : "ellipse");
        if (two is not null && outline == "round")
        {
            _problems.Error(b, "a round beam has one \"beamAngle\", not two");
        }

        // Common practice, no source: a soft lens falls off over about half its beam angle again, a hard-edged one over a tenth.
        var field = b.NumberOr("fieldAngle", beam * (kind == BeamKind.Wash ? 1.6f : 1.12f));
        if (field < beam)
        {
            _problems.Error(b, $"the field angle ({field}°, a tenth of the intensity) can't be smaller than the beam angle ({beam}°, half of it)");
        }

        var web = -1;
        if (b.Get("photometry") is { } photometry)
        {
            web = _assets.Web(photometry.Text + " " + _file, () => PhotometryReader.ReadWeb(photometry, _file, _assets, _problems));
        }

        return new BeamData
        {
            Kind = kind,
            LuminousFlux = b.NumberOr("flux", web >= 0 ? _assets.Webs[web].Lumens : 10_000),
            BeamAngle = Angles.Radians(beam),
            FieldAngle = Angles.Radians(field),
            Form = outline switch { "ellipse" => BeamForm.Ellipse, "rectangle" => BeamForm.Rectangle, _ => BeamForm.Round },
            BeamAngleUp = outline == "round" ? 0 : Angles.Radians(two is null ? beam : (float)two.Items[1].Number),
            LensRadius = b.NumberOr("lensRadius", .05f),
            ColourTemperature = b.NumberOr("colourTemperature", 6000),
            Web = web,
            DrawLens = b.FlagOr("drawLens", true),
            GlobeRadius = b.NumberOr("globeRadius", 0),
        };
    }

    private static PixelGridData ReadPixels(SourceNode p)
    {
        var size = p.NumbersOf("size");
        return new PixelGridData
        {
            Columns = p.IntegerOr("columns", 1),
            Rows = p.IntegerOr("rows", 1),
            Width = size[0],
            Height = size[1],
            PeakLuminance = p.NumberOr("luminance", 1000),
            Fill = p.NumberOr("fill", .8f),
            Shape = p.TextOr("shape") == "globe" ? PixelShape.Globe : PixelShape.Flat,
        };
    }

    private MirrorData ReadMirror(SourceNode m)
    {
        Vector3[] corners;
        if (m.Get("corners") is { } c)
        {
            corners = [.. c.Items.Select(i => i.AsVector() ?? default)];
        }
        else if (m.NumbersOf("size") is [var w, var h])
        {
            corners = [new(-w / 2, -h / 2, 0), new(w / 2, -h / 2, 0), new(w / 2, h / 2, 0), new(-w / 2, h / 2, 0)];
        }
        else
        {
            _problems.Error(m, "a mirror face needs \"size\" or \"corners\"");
            corners = [default, Vector3.UnitX, Vector3.UnitY];
        }

        return new MirrorData(corners, ReadSurface(m.Get("surface")));
    }

    public static MirrorSurface ReadSurface(SourceNode? s)
    {
        var sheet = s?.NumberOr("sheet", 0) ?? 0;
        return new MirrorSurface(s?.NumberOr("reflectance", .9f) ?? .9f, sheet, s?.NumberOr("index", sheet > 0 ? 1.49f : 1) ?? 1);
    }

    private LaserData ReadLaser(SourceNode l)
    {
        var waves = l.NumbersOf("wavelengths");
        var shares = l.NumbersOf("shares");
        if (shares.Length == 0)
        {
            shares = [.. waves.Select(_ => 1f / waves.Length)];
        }
        else if (shares.Length != waves.Length || MathF.Abs(shares.Sum() - 1) > .02f)
        {
            _problems.Error(l, "\"shares\" needs one share a wavelength, adding up to 1");
        }

        return new LaserData
        {
            PowerWatts = l.NumberOr("power", 0),
            Wavelengths = waves,
            PowerShares = shares,
            ApertureMetres = l.NumberOr("aperture", .004f),
            DivergenceRadians = l.NumberOr("divergence", 1) / 1000,
            Scan = l.Get("figure") is { } figure ? _figures.Read(figure) : 0,
        };
    }

    private static BodyData ReadBody(SourceNode b)
    {
        var (shape, mesh) = b.TextOr("shape") switch
        {
            "cylinder" => (BodyShape.Cylinder, UnitMeshes.Cylinder),
            "sphere" => (BodyShape.Sphere, UnitMeshes.Sphere),
            _ => (BodyShape.Box, UnitMeshes.Box),
        };
        return new BodyData(shape, b.VectorOr("size", Vector3.One), mesh, b.PoseOf());
    }
}

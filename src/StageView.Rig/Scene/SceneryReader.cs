using System.Globalization;
using System.Numerics;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Rig.Archives;
using StageView.Rig.ModelReaders;
using StageView.Rig.Pieces;
using StageView.Rig.Solids;
using StageView.Rig.Source;

namespace StageView.Rig.Scene;

/// <summary>Reads floors, walls, trusses, figures and set pieces.</summary>
internal sealed class SceneryReader
{
    private const float WallThickness = .2f;
    private readonly SceneBuild _build;
    private readonly string _folder;

    public SceneryReader(SceneBuild build, string folder)
    {
        _build = build;
        _folder = folder;
    }

    public void Read(SourceNode piece, PartPlace place)
    {
        var spots = RowSpots.Of(piece, _build.Problems);
        for (var i = 0; i < spots.Count && !_build.Bounds.Stopped; i++)
        {
            var suffix = spots.Count == 1 ? "" : string.Create(CultureInfo.InvariantCulture, $" {i + 1}");
            ReadOne(piece, place, spots[i], suffix);
            if (piece.FlagOr("mirrored", false))
            {
                ReadOne(piece, place.Mirrored(), spots[i], suffix + " mirrored", true);
            }
        }
    }

    private void ReadOne(SourceNode piece, PartPlace within, Pose spot, string suffix, bool reflected = false)
    {
        var name = piece.TextOr("name") + suffix;
        var venue = VenueTouch.Of(_build.Venue, within.Venue, "scenery", piece, name);
        if (!_build.Bounds.Compare(piece, _build.Venue?.Entries ?? 0))
        {
            return;
        }

        var own = venue.All(piece.PoseOf());
        var shape = piece.TextOr("shape");
        if (venue.Removed && shape != "room")
        {
            venue.Went(() => name);
            return;
        }

        var pose = venue.One(spot.Compose(own), reflected);
        var place = within with { Venue = venue };
        switch (shape)
        {
            case "box" or "cylinder" or "sphere" or "plane":
                var mesh = shape switch { "box" => UnitMeshes.Box, "cylinder" => UnitMeshes.Cylinder, "sphere" => UnitMeshes.Sphere, _ => UnitMeshes.Plane };
                Need(piece, "size");
                Add(piece, place, suffix, mesh, pose, venue.Size ?? piece.VectorOr("size", Vector3.One), SceneryKind.Scenery);
                break;
            case "person":
                var figure = _build.Assets.Mesh("figure", FigureMesh.Make);
                Add(piece, place, suffix, figure, pose, new Vector3(piece.NumberOr("height", 1.8f)), SceneryKind.Person);
                break;
            case "truss" or "ladder" or "pipe":
                ReadBar(piece, place, venue.MovesOne ? pose : null, own, spot, suffix, shape);
                break;
            case "room":
                ReadRoom(piece, place, suffix, pose, reflected);
                break;
            case "model":
                ReadModel(piece, place, suffix, pose);
                break;
        }
    }

    /// <param name="moved">Where this one's "at" is, if the venue moves it alone.</param>
    private void ReadBar(SourceNode piece, PartPlace place, Pose? moved, Pose own, Pose spot, string suffix, string shape)
    {
        if (piece.Get("circle") is { } circle)
        {
            ReadCircle(piece, circle, place, moved ?? own.Compose(spot), suffix, shape);
            return;
        }

        if (!Need(piece, "from") || !Need(piece, "to"))
        {
            return;
        }

        var from = piece.VectorOr("from", default);
        var along = piece.VectorOr("to", default) - from;
        var length = along.Length();
        if (length < .01f)
        {
            _build.Problems.Error(piece, "\"from\" and \"to\" are the same point");
            return;
        }

        var x = along / length;
        var side = MathF.Abs(x.Z) > .999f ? Vector3.UnitY : Vector3.Normalize(Vector3.Cross(Vector3.UnitZ, x));
        var turn = Turns.FromAxes(x, side, Vector3.Cross(x, side));
        var width = Width(piece, shape);
        var mesh = Structure(piece, string.Create(CultureInfo.InvariantCulture, $"{shape} {length:0.###} {width:0.###}"), () => Straight(shape, length, width));
        var pose = (moved ?? own.Compose(spot)).Compose(new Pose(from + (along / 2), turn));
        Add(piece, place, suffix, mesh, pose, Vector3.One, SceneryKind.Structure);
    }

    /// <summary>A ring or a part of one: about z through "at".</summary>
    private void ReadCircle(SourceNode piece, SourceNode circle, PartPlace place, Pose pose, string suffix, string shape)
    {
        var (radius, width) = (circle.NumberOr("radius", 1), Width(piece, shape));
        var (from, to) = (circle.NumberOr("from", 0), circle.NumberOr("to", 360));
        var degrees = Math.Abs(to - from);
        if (radius < width)
        {
            _build.Problems.Error(circle, $"a radius of {radius} m is less than the width of {width} m");
            return;
        }

        if (degrees is < .1f or > 360.01f)
        {
            _build.Problems.Error(circle, "goes from \"from\" to \"to\": they lie up to 360 degrees apart, and not at the same place");
            return;
        }

        var mesh = Structure(piece, string.Create(CultureInfo.InvariantCulture, $"{shape} circle {radius:0.###} {degrees:0.##} {width:0.###}"),
            () => TrussMeshes.Bent(length => Straight(shape, length, width), radius, degrees));

        // The mesh has its middle towards +y, so that it is like its own reflection at x = 0.
        var middle = Pose.FromDegrees(default, new Vector3(0, 0, ((from + to) / 2) - 90));
        Add(piece, place, suffix, mesh, pose.Compose(middle), Vector3.One, SceneryKind.Structure);
    }

    private static float Width(SourceNode piece, string shape) => piece.NumberOr("width", shape switch { "truss" => .3f, "ladder" => .4f, _ => .05f });

    private static SceneMesh Straight(string shape, float length, float width) => shape switch
    {
        "truss" => TrussMeshes.Box(length, width),
        "ladder" => TrussMeshes.Ladder(length, width),
        _ => TrussMeshes.Pipe(length, width / 2),
    };

    private int Structure(SourceNode piece, string key, Func<SceneMesh> make)
    {
        var before = _build.Assets.Meshes.Count;
        var mesh = _build.Assets.Mesh(key, () => _build.Assets.Budget.IsFullOfTriangles ? UnitMeshes.All[UnitMeshes.Box] : make());
        if (_build.Assets.Meshes.Count > before && !_build.Assets.Budget.Triangles(_build.Assets.Meshes[mesh].Indices.Length / 3))
        {
            _build.Problems.Error(piece, ArchiveBudget.TooManyTriangles);
        }

        return mesh;
    }

    /// <summary>Walls stand outside the inner size, so that nothing on them lies in the same plane; \"at\" is the middle of the floor.</summary>
    private void ReadRoom(SourceNode piece, PartPlace place, string suffix, Pose pose, bool reflected)
    {
        Need(piece, "size");
        var s = piece.VectorOr("size", Vector3.One);
        var wanted = piece.TextsOf("walls");
        const float T = WallThickness;
        Wall("floor", new(0, 0, -T / 2), new(s.X + (2 * T), s.Y + (2 * T), T));
        Wall("ceiling", new(0, 0, s.Z + (T / 2)), new(s.X + (2 * T), s.Y + (2 * T), T));
        Wall("left", new(-(s.X + T) / 2, 0, s.Z / 2), new(T, s.Y, s.Z));
        Wall("right", new((s.X + T) / 2, 0, s.Z / 2), new(T, s.Y, s.Z));
        Wall("rear", new(0, (s.Y + T) / 2, s.Z / 2), new(s.X + (2 * T), T, s.Z));
        Wall("front", new(0, -(s.Y + T) / 2, s.Z / 2), new(s.X + (2 * T), T, s.Z));

        void Wall(string side, Vector3 centre, Vector3 size)
        {
            if (wanted.Count == 0 || wanted.Contains(side))
            {
                var name = $" {side}{suffix}";
                var wall = VenueTouch.Of(_build.Venue, place.Venue, "scenery", piece, piece.TextOr("name") + name);
                var at = wall.One(pose.Compose(new Pose(centre, Quaternion.Identity)), reflected);
                Add(piece, place with { Venue = wall }, name, UnitMeshes.Box, at, size, SceneryKind.Scenery, side);
            }
        }
    }

    private void ReadModel(SourceNode piece, PartPlace place, string suffix, Pose pose)
    {
        if (!Need(piece, "file"))
        {
            return;
        }

        var named = piece.Get("file")!;
        var full = Path.GetFullPath(Path.Combine(_folder, named.Text));
        if (!_build.Assets.Files.Has(full, SourceFileKind.Model))
        {
            _build.Problems.Error(named, $"no model file {named.Text}");
            return;
        }

        var size = piece.VectorOr("size", Vector3.Zero);
        var why = "";
        var index = _build.Assets.Mesh($"{full} {size}", () =>
        {
            var beside = ModelContext.InFolder(Path.GetDirectoryName(full)!, f => _build.Assets.Files.Has(f, SourceFileKind.Model));
            var around = new ModelContext(beside, _build.Options.DecodeImage, n => _build.Problems.Warn(named, n));
            (var mesh, why) = _build.Assets.Model(full, () => (ModelFiles.TryRead(full, named.Text, out var unread, around: around), unread));
            if (mesh is not null && !_build.Assets.Budget.Triangles(mesh.Indices.Length / 3))
            {
                (mesh, why) = (null, ArchiveBudget.TooManyTriangles);
            }

            return mesh is null || size == Vector3.Zero ? mesh ?? UnitMeshes.All[UnitMeshes.Box] : MeshScaling.Fit(mesh, size);
        });
        if (why.Length > 0)
        {
            _build.Problems.Error(named, why);
        }

        Add(piece, place, suffix, index, pose, piece.VectorOr("scale", Vector3.One), SceneryKind.Scenery, mean: _build.Assets.Meshes[index].Paint?.Mean);
    }

    /// <summary>The side that a sheet or a wall is seen from alone, in its own axes; zero for one that is seen from everywhere.</summary>
    private Vector3 SeenFrom(SourceNode piece, PartPlace place, Pose pose, string side)
    {
        if (!piece.FlagOr("oneSided", false))
        {
            return Vector3.Zero;
        }

        if (side.Length == 0 && piece.TextOr("shape") != "plane")
        {
            _build.Problems.Error(piece.Get("oneSided")!,
                $"a {piece.TextOr("shape")} has no front: a plane (what it faces) or a room (its inside) is one-sided");
            return Vector3.Zero;
        }

        var front = side switch
        {
            "ceiling" => -Vector3.UnitZ,
            "left" => Vector3.UnitX,
            "right" => -Vector3.UnitX,
            "rear" => -Vector3.UnitY,
            "front" => Vector3.UnitY,
            _ => Vector3.UnitZ,
        };

        // A reflected wall looks the other way than its own axes say.
        var world = Vector3.Normalize(place.ToWorld(pose.TransformPoint(front)) - place.ToWorld(pose.Position));
        return Vector3.Transform(world, Quaternion.Conjugate(place.ToWorld(pose).Orientation));
    }

    private bool Need(SourceNode piece, string key)
    {
        if (piece.Has(key))
        {
            return true;
        }

        _build.Problems.Error(piece, $"a {piece.TextOr("shape")} needs \"{key}\"");
        return false;
    }

    private void Add(SourceNode piece, PartPlace place, string suffix, int mesh, Pose pose, Vector3 scale, SceneryKind kind, string side = "",
        Vector3? mean = null)
    {
        var name = piece.TextOr("name") + suffix;
        place.Venue.Went(() => name);
        if (!_build.Bounds.Piece(piece) || place.Venue.Removed)
        {
            return;
        }

        var carried = piece.Get("carriedBy");
        if (carried is not null)
        {
            _build.CarriedPieces.Add((_build.Scenery.Count, carried));
        }

        _build.Scenery.Add(new SceneryPiece
        {
            Name = name,
            Mesh = mesh,
            Pose = carried is null ? place.ToWorld(pose) : pose,
            Scale = scale,
            RoomSide = side,
            SeenFrom = SeenFrom(piece, place, pose, side),
            Position = place.Name,
            WeightKilograms = piece.NumberOr("weight", 0),
            Uuid = piece.TextOr("uuid"),
            Layer = piece.TextOr("layer"),
            Class = piece.TextOr("class"),
            MvrElement = piece.TextOr("mvrElement"),
            // Pictures have their own reflectance; what is written then scales it.
            Albedo = mean is { } m ? m * piece.ColourOr("albedo", Vector3.One) : piece.ColourOr("albedo", new Vector3(.2f)),
            Shine = piece.NumberOr("shine", 0),
            Roughness = piece.NumberOr("roughness", 0.2f),
            Kind = piece.TextOr("kind") switch
            {
                "scenery" => SceneryKind.Scenery,
                "person" => SceneryKind.Person,
                "structure" => SceneryKind.Structure,
                _ => kind,
            },
        });
    }
}

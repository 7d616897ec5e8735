using System.Globalization;
using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Rig.Pieces;
using StageView.Rig.Solids;
using StageView.Rig.Source;

namespace StageView.Rig.Scene;

/// <summary>A place things are read into: a pose, perhaps seen in a mirror at x = 0 of an outer place.</summary>
internal sealed record PartPlace(string Name, PartPlace? Within, Pose Pose, bool Reflected)
{
    public static PartPlace World { get; } = new("", null, Pose.Identity, false);

    /// <summary>What the venue does to it.</summary>
    public VenueTouch Venue { get; init; } = VenueTouch.None;

    /// <summary>The part that it is, or none.</summary>
    public PartIndex Part { get; init; } = PartIndex.None;

    /// <summary>Whether there are several of it, so that what it holds is there several times.</summary>
    public bool Repeated { get; init; }

    /// <summary>The same seen in a mirror at its own x = 0.</summary>
    public PartPlace Mirrored() => new(Name, this, Pose.Identity, true) { Venue = Venue, Part = Part, Repeated = true };

    /// <summary>To the world, reflections included.</summary>
    public Pose ToWorld(in Pose local)
    {
        var p = Pose.Compose(local);
        if (Reflected)
        {
            p = Turns.Reflected(p);
        }

        return Within is null ? p : Within.ToWorld(p);
    }

    public Vector3 ToWorld(Vector3 local)
    {
        var p = Pose.TransformPoint(local);
        if (Reflected)
        {
            p.X = -p.X;
        }

        return Within is null ? p : Within.ToWorld(p);
    }

    /// <summary>A point of the world in the place's own coordinates.</summary>
    public Vector3 FromWorld(Vector3 point)
    {
        var p = Within is null ? point : Within.FromWorld(point);
        return Pose.InverseTransformPoint(Reflected ? new Vector3(-p.X, p.Y, p.Z) : p);
    }

    /// <summary>Whether an odd number of reflections lies on the way.</summary>
    public bool Handed => Reflected ^ (Within?.Handed ?? false);
}

/// <summary>Reads what a rig or a part holds.</summary>
internal sealed class PartReader
{
    private readonly SceneBuild _build;
    private readonly HangReader _hangs;
    private readonly SceneryReader _scenery;

    public PartReader(SceneBuild build, ProfileStore profiles, string folder)
    {
        _build = build;
        _hangs = new HangReader(build, profiles, folder);
        _scenery = new SceneryReader(build, folder);
    }

    public void ReadContents(SourceNode root) => Read(root, PartPlace.World);

    private void Read(SourceNode holder, PartPlace place)
    {
        foreach (var s in Kept(holder, "scenery"))
        {
            _scenery.Read(s, place);
        }

        foreach (var m in Kept(holder, "mirrors"))
        {
            MirrorReader.Read(m, place, _build);
        }

        foreach (var h in Kept(holder, "hangs"))
        {
            _hangs.Read(h, place);
        }

        foreach (var p in Kept(holder, "parts"))
        {
            ReadPart(p, place);
        }
    }

    private IEnumerable<SourceNode> Kept(SourceNode holder, string kind) =>
        holder.ListOf(kind).TakeWhile(IsBounded);

    /// <summary>Each entry that a venue has may move it and say so: that is ten times the work of a look.</summary>
    private bool IsBounded(SourceNode n) => !_build.Problems.IsFull && _build.Bounds.Reading(n) && _build.Bounds.Compare(n, 10 * (_build.Venue?.Entries ?? 0));

    private void ReadPart(SourceNode part, PartPlace within)
    {
        var name = part.TextOr("name");
        var places = RowSpots.Of(part, _build.Problems);
        var mirrored = part.FlagOr("mirrored", false);
        var repeated = within.Repeated || mirrored || places.Count > 1;
        var all = VenueTouch.Of(_build.Venue, within.Venue, "part", part, repeated ? [] : [name]);
        var own = all.All(part.PoseOf());
        for (var i = 0; i < places.Count && !_build.Problems.IsFull && _build.Bounds.Copy(part); i++)
        {
            var pose = places[i].Compose(own);
            ReadCopy(name, i, pose, false);
            if (mirrored && _build.Bounds.Copy(part))
            {
                ReadCopy(part.TextOr("mirroredName", name + " mirrored"), i, pose, true);
            }
        }

        void ReadCopy(string copy, int i, Pose pose, bool reflected)
        {
            var called = places.Count == 1 ? copy : string.Create(CultureInfo.InvariantCulture, $"{copy} {i + 1}");
            var touch = repeated && _build.Bounds.Compare(part, _build.Venue?.Entries ?? 0)
                ? VenueTouch.Of(_build.Venue, all, "part", part, called) : all;
            var place = new PartPlace(called, within, touch.One(pose, reflected), reflected)
            {
                Venue = touch, Part = new PartIndex(_build.Parts.Count), Repeated = repeated,
            };
            _build.Parts.Add(Placed(part, place, within));
            Read(part, place);
            if (reflected)
            {
                all.Went(() => $"its mirror image {called}");
            }
        }
    }

    private RigPart Placed(SourceNode part, PartPlace place, PartPlace within)
    {
        var origin = within.ToWorld(Vector3.Zero);
        Vector3d Axis(Vector3 axis) => Vector3d.From(within.ToWorld(axis) - origin).Unit;
        return new RigPart
        {
            Index = place.Part,
            Name = place.Name,
            Holder = within.Part,
            InHolder = place.Reflected ? Turns.Reflected(place.Pose) : place.Pose,
            HolderOrigin = Vector3d.From(origin),
            HolderAxes = (Axis(Vector3.UnitX), Axis(Vector3.UnitY), Axis(Vector3.UnitZ)),
            OfVenue = _build.Venue?.Silent == true,
            Source = part.Place,
        };
    }
}

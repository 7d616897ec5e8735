using System.Diagnostics.CodeAnalysis;
using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Cautions.Limits;
using StageView.Light.Moments;
using StageView.Rig.Assets;
using StageView.Rig.Pieces;
using StageView.Rig.Source;

namespace StageView.Rig.Scene;

/// <summary>Reads a rig scene file with everything it refers to.</summary>
public static class RigLoader
{
    /// <param name="path">The scene file.</param>
    /// <param name="rig">The rig, when there is no error.</param>
    /// <param name="problems">Every problem found, errors and warnings, in order of reading.</param>
    public static bool TryLoad(string path, [NotNullWhen(true)] out RigScene? rig, out IReadOnlyList<RigProblem> problems) =>
        TryLoad(path, RigLoadOptions.Default, out rig, out problems);

    public static bool TryLoad(
        string path, RigLoadOptions options, [NotNullWhen(true)] out RigScene? rig, out IReadOnlyList<RigProblem> problems) =>
        TryLoad(path, options, out rig, out problems, out _);

    /// <param name="path">The scene file.</param>
    /// <param name="options">Where profiles lie, and the venue.</param>
    /// <param name="rig">The rig, when there is no error.</param>
    /// <param name="problems">Every problem found, errors and warnings, in order of reading.</param>
    /// <param name="files">Every file that was read or looked for, also where the rig can't be used.</param>
    public static bool TryLoad(
        string path,
        RigLoadOptions options,
        [NotNullWhen(true)] out RigScene? rig,
        out IReadOnlyList<RigProblem> problems,
        out IReadOnlyList<SourceFile> files)
    {
        ArgumentNullException.ThrowIfNull(path);
        ArgumentNullException.ThrowIfNull(options);
        var build = new SceneBuild { Options = options };
        build.Assets.Files.Has(path, SourceFileKind.Rig);
        if (options.Venue is { } venue)
        {
            build.Venue = VenueOverlay.Read(venue, build.Assets.Files, build.Problems);
        }

        var reader = new SceneReader(build, options);
        reader.ReadFile(path);
        reader.ReadVenue();
        rig = null;
        if (build.Problems.Errors == 0)
        {
            rig = Finish(build, path);
        }

        if (rig is not null && build.Problems.Errors == 0)
        {
            SightLineCheck.Warn(rig, build.Problems);
            PlausibleCheck.Warn(rig, build.Problems);
        }

        problems = build.Problems.ToList();
        files = build.Assets.Files.All;
        if (build.Problems.Errors > 0)
        {
            rig = null;
        }

        return rig is not null;
    }

    private static RigScene Finish(SceneBuild build, string path)
    {
        Patcher.Apply(build);
        AimAtPoints(build);
        var present = build.Hung.Where(h => h.IsThere).ToList();
        var carriers = new CarrierResolver(present, build.Problems);
        var places = present.Select((h, i) => (h, i)).ToDictionary(x => x.h, x => x.i);
        var fixtures = present.Select((h, i) => new Fixture
        {
            Index = new FixtureIndex(i),
            Name = h.Name,
            Number = h.Number,
            Groups = h.Groups,
            Position = h.Position,
            Part = h.Part,
            Profile = h.Profile,
            Mode = h.Mode,
            Pose = h.Pose,
            Carrier = h.CarriedBy is { } c ? carriers.Resolve(c, i) : null,
            Patch = h.Patch,
            Filter = (h.Override?.Has("filter") == true ? h.Override : h.Hang).ColourOr("filter", Vector3.One),
            SharesPatchOf = h.PatchOf is { } of ? new FixtureIndex(places[of]) : FixtureIndex.None,
            InvertPan = h.Flag("invertPan"),
            InvertTilt = h.Flag("invertTilt"),
            SwapPanTilt = h.Flag("swapPanTilt"),
            PanLimit = h.Limit("panLimit"),
            TiltLimit = h.Limit("tiltLimit"),
            Phase = (h.Override ?? h.Hang).IntegerOr("phase", h.Hang.IntegerOr("phase", 0)),
            Feed = h.Words("feed"),
            Uuid = h.Words("uuid"),
            Layer = h.Words("layer"),
            Class = h.Words("class"),
            Focus = h.Words("focus"),
            OfVenue = h.Added,
            Member = h.Member,
            Source = h.Hang.Place,
        }).ToList();
        carriers.CheckCircles(fixtures);
        foreach (var (piece, carried) in build.CarriedPieces)
        {
            build.Scenery[piece] = build.Scenery[piece] with { Carrier = carriers.Resolve(carried, -1) };
        }

        var connections = Connected(build, fixtures);
        VenueTelling.TellReferences(build);
        return new RigScene
        {
            Name = build.Name ?? Path.GetFileNameWithoutExtension(path),
            File = path,
            Files = build.Assets.Files.All,
            Fixtures = fixtures,
            Parts = build.Parts,
            Scenery = build.Scenery,
            Mirrors = build.Mirrors,
            Cameras = build.Cameras.Count > 0 ? build.Cameras : [DefaultCamera],
            NamesCameras = build.Cameras.Count > 0,
            Haze = build.Haze ?? Haze.None,
            Areas = build.Areas,
            Volumes = build.Volumes,
            Limits = build.Limits.Aggregate(CautionLimits.Default, (limits, set) => limits.With(set.Key, set.Value) ?? limits),
            Network = build.Network ?? new NetworkSettings(),
            Meshes = build.Assets.Meshes,
            GoboImages = build.Assets.Gobos,
            Scans = build.Assets.Scans,
            Webs = build.Assets.Webs,
            Presets = build.Presets,
            Compare = build.Compare,
            Content = [.. build.Content.Select(c => ContentReader.Resolve(c.Content, c.At, fixtures, build)).OfType<ContentPlacement>()],
            PixelMaps = PixelMapReader.Resolve(fixtures, build),
            FocusPoints = build.FocusPoints,
            SightLines = build.SightLines,
            Connections = connections,
            Feeds = build.Feeds,
            NotTakenOver = build.NotTakenOver,
            Venue = build.Venue?.Name ?? "",
            VenueChanges = build.Venue?.Changes ?? [],
            LeftOut = VenueTelling.LeftOut(build),
            Bounces = build.Bounces ?? 2,
        };
    }

    /// <summary>Turns what looks at a focus point, now that all of them are known.</summary>
    private static void AimAtPoints(SceneBuild build)
    {
        var points = build.FocusPoints.DistinctBy(p => p.Name).ToDictionary(p => p.Name, p => p.Position, StringComparer.Ordinal);
        foreach (var h in build.Hung.Where(h => h.IsThere && h.Aim is not null))
        {
            var (name, pose) = h.Aim!.Value;
            if (points.TryGetValue(name.Text, out var at))
            {
                h.Pose = pose(at);
            }
            else
            {
                build.Problems.Error(name,
                    $"no focus point is named \"{name.Text}\"{VenueTelling.WhereGone(build, name.Text)}{Nearest.Among(name.Text, points.Keys)}");
            }
        }
    }

    /// <summary>The connections whose ends are there; one with an end that is nowhere is told, unless a venue took it away.</summary>
    private static List<Connection> Connected(SceneBuild build, List<Fixture> fixtures)
    {
        var there = fixtures.Select(f => f.Name).Concat(build.Scenery.Select(s => s.Name)).ToHashSet(StringComparer.Ordinal);
        foreach (var (c, at) in build.Connections)
        {
            if (new[] { c.From, c.To }.FirstOrDefault(n => !there.Contains(n)) is not { } end)
            {
                continue;
            }

            if (build.Venue is { } venue)
            {
                venue.Changed($"connection from \"{c.From}\" to \"{c.To}\" left out: \"{end}\" is not there");
            }
            else
            {
                build.Problems.Warn(at, $"nothing is named \"{end}\": this connection is left out");
            }
        }

        return [.. build.Connections.Select(c => c.Connection).Where(c => there.Contains(c.From) && there.Contains(c.To))];
    }

    private static Camera DefaultCamera => new()
    {
        Name = "house",
        Position = new Vector3(0, -14, 2.5f),
        Target = new Vector3(0, 4, 2.5f),
    };
}

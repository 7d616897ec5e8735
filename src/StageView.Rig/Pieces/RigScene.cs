using StageView.Ground.Indices;
using StageView.Light.Cautions.Limits;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Light.Scans;
using StageView.Rig.Source;

namespace StageView.Rig.Pieces;

/// <summary>A checked rig: everything the scene file (and its venue) says, resolved. Immutable; all poses are world poses at rest.</summary>
public sealed record RigScene
{
    public required string Name { get; init; }

    /// <summary>The file it was read from, as the user named it.</summary>
    public required string File { get; init; }

    /// <summary>Every file that was read or looked for: the rig file first, then in the order they were met.</summary>
    public IReadOnlyList<SourceFile> Files { get; init; } = [];

    public required IReadOnlyList<Fixture> Fixtures { get; init; }

    public Fixture this[FixtureIndex fixture] => Fixtures[fixture.Value];

    /// <summary>Every copy of every part, holders before what they hold.</summary>
    public IReadOnlyList<RigPart> Parts { get; init; } = [];

    public required IReadOnlyList<SceneryPiece> Scenery { get; init; }

    public required IReadOnlyList<MirrorPiece> Mirrors { get; init; }

    public required IReadOnlyList<Camera> Cameras { get; init; }

    /// <summary>Whether the cameras are the file's; else there is one that sees most stages.</summary>
    public bool NamesCameras { get; init; } = true;

    public required Haze Haze { get; init; }

    public required IReadOnlyList<MeasuringArea> Areas { get; init; }

    public required IReadOnlyList<CautionVolume> Volumes { get; init; }

    /// <summary>From what on the caution checks list something.</summary>
    public CautionLimits Limits { get; init; } = CautionLimits.Default;

    public required NetworkSettings Network { get; init; }

    public required IReadOnlyList<SceneMesh> Meshes { get; init; }

    public required IReadOnlyList<GoboImage> GoboImages { get; init; }

    /// <summary>Figures that lasers draw, in the order that profiles name them.</summary>
    public IReadOnlyList<LaserScan> Scans { get; init; } = [];

    public required IReadOnlyList<PhotometricWeb> Webs { get; init; }

    public IReadOnlyList<RigPreset> Presets { get; init; } = [];

    /// <summary>What may differ when frames are compared; later rules win.</summary>
    public IReadOnlyList<CompareRule> Compare { get; init; } = [];

    /// <summary>Pictures and videos laid over pixel surfaces, later ones after earlier ones.</summary>
    public IReadOnlyList<ContentPlacement> Content { get; init; } = [];

    /// <summary>Fixed maps from pixels to places in a picture.</summary>
    public IReadOnlyList<PixelMapPlan> PixelMaps { get; init; } = [];

    public IReadOnlyList<FocusPoint> FocusPoints { get; init; } = [];

    /// <summary>Supplies that fixtures name.</summary>
    public IReadOnlyList<PowerFeed> Feeds { get; init; } = [];

    /// <summary>Cables, in the order they were written.</summary>
    public IReadOnlyList<Connection> Connections { get; init; } = [];

    /// <summary>What an import could not take over, one line each.</summary>
    public IReadOnlyList<string> NotTakenOver { get; init; } = [];

    public IReadOnlyList<SightLine> SightLines { get; init; } = [];

    /// <summary>Name of the venue; empty without one.</summary>
    public string Venue { get; init; } = "";

    /// <summary>What the venue file changed, one line each; empty without one.</summary>
    public IReadOnlyList<string> VenueChanges { get; init; } = [];

    /// <summary>Names of what the venue leaves out, whatever their case, also of all that went with it; names that are still borne by others too.</summary>
    public IReadOnlySet<string> LeftOut { get; init; } = new HashSet<string>();

    /// <summary>"; the venue "X" leaves it out" for a name that isn't there since the venue removed it, or empty: for errors about unknown names.</summary>
    /// <param name="name">The name that isn't there.</param>
    /// <param name="begins">Whether it may be only the beginning of a name.</param>
    public string WhereGone(string name, bool begins = false) =>
        LeftOut.Contains(name) || (begins && name.Length > 0 && LeftOut.Any(n => n.StartsWith(name, StringComparison.OrdinalIgnoreCase)))
            ? $"; the venue \"{Venue}\" leaves it out" : "";

    /// <summary>How many mirrors a beam may meet, 0 to 4.</summary>
    public int Bounces { get; init; } = 2;

    /// <summary>The rig as one of its presets wants it, found by name whatever its case.</summary>
    public bool TryWithPreset(string name, out RigScene rig, out string why)
    {
        var preset = Presets.FirstOrDefault(p => string.Equals(p.Name, name, StringComparison.OrdinalIgnoreCase));
        why = preset is not null ? ""
            : Presets.Count == 0 ? $"{File} has no presets"
            : $"{File} has no preset of that name; it has {string.Join(", ", Presets.Select(p => p.Name))}";
        rig = preset?.ApplyTo(this) ?? this;
        if (preset is { Camera.Length: > 0 } && Cameras.All(c => c.Name != preset.Camera))
        {
            why = $"it shows the camera {preset.Camera} first{WhereGone(preset.Camera)}, but {File} has "
                + $"{string.Join(", ", Cameras.Select(c => c.Name).DefaultIfEmpty("none"))}";
        }

        return why.Length == 0;
    }
}

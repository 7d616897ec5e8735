using StageView.Rig.Profiles;
using StageView.Rig.Source;

namespace StageView.Rig.Scene;

/// <summary>
/// What a rig may come to after all rows, grids, copies and reflections. What goes beyond is one error, and nothing more is laid out:
/// a few lines can ask for a million million things.
/// </summary>
internal sealed class SceneBounds(ProblemList problems)
{
    public const int MaxFixtures = 50_000;
    public const int MaxPieces = 100_000;
    public const int MaxMirrors = 20_000;
    public const int MaxCopies = 100_000;

    /// <summary>Entries of the file read, each as often as the parts around it are there.</summary>
    public const int MaxReadings = 500_000;

    /// <summary>Geometries of all fixtures; a fixture of many cells has some hundred.</summary>
    public const int MaxParts = 1_000_000;

    public const int MaxChannels = 1_000_000;
    public const int MaxPixels = 4_000_000;


    /// <summary>Names held against names: patterns against all fixtures.</summary>
    public const int MaxComparisons = 10_000_000;

    private readonly Dictionary<FixtureMode, long> _pixels = new(ReferenceEqualityComparer.Instance);
    private int _fixtures, _pieces, _mirrors, _copies, _readings;
    private long _parts, _channels, _allPixels, _comparisons;

    /// <summary>True once something went beyond.</summary>
    public bool Stopped { get; private set; }

    /// <summary>Entries read and things laid out: the work done.</summary>
    public long Work => (long)_fixtures + _pieces + _mirrors + _copies + _readings;

    public bool Copy(SourceNode at) => Take(at, ++_copies, MaxCopies, "copies of parts");

    public bool Reading(SourceNode at) => Take(at, ++_readings, MaxReadings, "entries to be read");

    public bool Piece(SourceNode at) => Take(at, ++_pieces, MaxPieces, "scenery pieces");

    public bool Mirror(SourceNode at) => Take(at, ++_mirrors, MaxMirrors, "mirrors");

    /// <summary>A name that is looked for among <paramref name="many"/>.</summary>
    public bool Compare(SourceNode at, int many) => Take(at, _comparisons += many, MaxComparisons, "comparisons of names");

    /// <summary>One more fixture, with all it is made of.</summary>
    public bool Fixture(SourceNode at, FixtureMode mode)
    {
        if (!_pixels.TryGetValue(mode, out var pixels))
        {
            _pixels[mode] = pixels = mode.Geometry.Sum(g => g.Pixels is { } p ? (long)p.Columns * p.Rows : 0);
        }

        return Take(at, ++_fixtures, MaxFixtures, "fixtures")
            && Take(at, _parts += mode.Geometry.Count, MaxParts, "geometries of fixtures")
            && Take(at, _channels += mode.Channels.Count, MaxChannels, "channels of fixtures")
            && Take(at, _allPixels += pixels, MaxPixels, "pixels of fixtures");
    }

    private bool Take(SourceNode at, long count, long most, string what)
    {
        if (!Stopped && count > most)
        {
            Stopped = true;
            problems.Error(at, $"with this there are more than {most} {what} after all rows, grids and copies, which is the most that is laid out");
        }

        return !Stopped;
    }
}

using System.Numerics;
using StageView.Ground.Files;
using StageView.Light.Geometry;
using StageView.Rig.Archives;
using StageView.Rig.Assets;
using StageView.Rig.Gobos;
using StageView.Rig.Keys;
using StageView.Rig.Source;

namespace StageView.Rig.Profiles;

/// <summary>Reads our JSON fixture profiles.</summary>
internal sealed class ProfileReader
{
    private readonly RigAssets _assets;
    private readonly RigLoadOptions _options;
    private readonly ProblemList _problems;

    public ProfileReader(RigAssets assets, RigLoadOptions options, ProblemList problems)
    {
        _assets = assets;
        _options = options;
        _problems = problems;
    }

    /// <param name="path">Where it lies.</param>
    /// <param name="shownAs">How to call it in messages.</param>
    public FixtureProfile? Read(string path, string shownAs)
    {
        var root = SourceParser.TryRead(path, shownAs, _problems);
        return root is null ? null : Read(root, path, shownAs);
    }

    public FixtureProfile? Read(SourceNode root, string path, string shownAs)
    {
        var before = _problems.Errors;
        if (!KeyChecker.Check(root, ProfileKeys.Profile, _problems))
        {
            return null;
        }

        var wheels = root.ListOf("wheels").Select(w => ReadWheel(w, path)).ToList();
        var emitters = root.ListOf("emitters").Select(e => new Emitter(
            e.TextOr("name"), e.NumberOr("x", .3127f), e.NumberOr("y", .329f), e.NumberOr("share", 0))).ToList();
        CheckEmitters(root, emitters);
        var notUnderstood = new List<string>();
        var modes = new List<FixtureMode>();
        foreach (var m in root.ListOf("modes"))
        {
            if (modes.Exists(o => o.Name == m.TextOr("name")))
            {
                _problems.Error(m, $"there is another mode named \"{m.TextOr("name")}\": names are unique in a profile");
                continue;
            }

            if (_assets.Budget.IsSpent)
            {
                break;
            }

            var geometry = new GeometryReader(_assets, path, _problems).Read(root, m);
            if (geometry is not null)
            {
                modes.Add(new ModeReader(geometry, wheels, emitters, notUnderstood, _assets.Budget, _problems).Read(m));
            }
        }

        var photometry = _problems.Errors > before ? [] : new PhotometryCheck(path, modes, _assets, _problems).Compare(root);
        return _problems.Errors > before ? null : new FixtureProfile
        {
            Name = root.TextOr("name"),
            File = shownAs,
            StandsFor = root.Has("standsFor") ? root.TextOr("standsFor") : null,
            Modes = modes,
            Wheels = wheels,
            Emitters = emitters,
            WeightKilograms = root.Has("weight") ? root.NumberOr("weight", 0) : null,
            PowerWatts = root.Has("power") ? root.NumberOr("power", 0) : null,
            Load = root.Get("load") is { } load ? ReadLoad(load) : null,
            NotUnderstood = notUnderstood,
            Photometry = photometry,
        };
    }

    private LoadData ReadLoad(SourceNode load)
    {
        var curve = load.ListOf("curve").Select(p => (Level: p.Items[0].Number, Share: p.Items[1].Number)).ToList();
        if (curve.Zip(curve.Skip(1)).Any(p => p.Second.Level <= p.First.Level))
        {
            _problems.Error(load, "\"curve\": levels must rise from pair to pair");
        }

        return new LoadData(load.NumberOr("standby", 0), curve, load.Has("peak") ? load.NumberOr("peak", 0) : null, load.NumberOr("powerFactor", 1),
            load.Get("warmUp")?.NumberOr("seconds", 0) ?? 0, load.Get("warmUp")?.NumberOr("power", 0) ?? 0);
    }

    private Wheel ReadWheel(SourceNode wheel, string file) => new(
        wheel.TextOr("name"),
        [.. wheel.ListOf("slots").Select(s => new WheelSlot(
            s.TextOr("name"),
            s.ColourOr("colour", Vector3.One),
            s.Get("gobo") is { } g ? ReadGobo(g, file) : 0,
            s.IntegerOr("facets", 0),
            Angles.Radians(s.NumberOr("spread", 0)))
        {
            Facets = Facets(s),
            Scan = s.Get("figure") is { } figure ? new FigureReader(_assets, file, _problems).Read(figure) : 0,
        })]);

    private static PrismFacet[] Facets(SourceNode slot)
    {
        var count = slot.IntegerOr("facets", 0);
        return slot.Get("facetColours") is not { } colours ? []
            : [.. Enumerable.Range(0, count).Select(i => new PrismFacet(
                MathF.Tau * i / count, Angles.Radians(slot.NumberOr("spread", 0)), colours.Items[i % colours.Items.Count].AsColourOr(Vector3.One)))];
    }

    private int ReadGobo(SourceNode gobo, string file)
    {
        if (GoboPatterns.Names.Contains(gobo.Text))
        {
            return _assets.Gobo(gobo.Text, () => GoboPatterns.TryMake(gobo.Text, out var made) ? made : null);
        }

        if (!gobo.Text.Contains('.', StringComparison.Ordinal))
        {
            _problems.Error(
                gobo,
                $"no pattern named \"{gobo.Text}\"{Nearest.Hint(gobo.Text, GoboPatterns.Names)} Known: {string.Join(", ", GoboPatterns.Names)}; a name with a "
                + $"dot is an image file");
            return 0;
        }

        if (!SafePath.TryInside(Path.GetDirectoryName(Path.GetFullPath(file))!, gobo.Text, out var full) || !_assets.Files.Has(full, SourceFileKind.Gobo))
        {
            _problems.Error(gobo, $"no image file {gobo.Text} beside the profile");
            return 0;
        }

        if (_options.DecodeImage is null)
        {
            _problems.Warn(gobo, $"{gobo.Text}: image gobos can't be read here; the slot stays open");
            return 0;
        }

        return _assets.Gobo(full, () =>
        {
            if (BoundedFile.TryRead(full, ArchiveBudget.MaxEntryBytes, out var bytes, out var why)
                && _assets.TryDecode(_options.DecodeImage, bytes, out var size, out var rgb, out why))
            {
                return GoboPatterns.Of(gobo.Text, size, rgb);
            }

            _problems.Error(gobo, $"{gobo.Text} can't be read as an image: {why}");
            return null;
        });
    }

    private void CheckEmitters(SourceNode root, List<Emitter> emitters)
    {
        var sum = emitters.Sum(e => e.Share);
        if (emitters.Count > 0 && MathF.Abs(sum - 1) > .02f)
        {
            _problems.Error(root.Get("emitters")!, $"the shares of the emitters add up to {sum:0.###}: they should add up to 1");
        }
    }
}

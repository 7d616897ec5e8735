using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Moments;
using StageView.Rig.Pieces;
using StageView.Show.Cues;
using StageView.Show.Questions;
using StageView.Show.Refocus;
using StageView.Show.Rigs;
using StageView.Show.Sources;
using StageView.Stage;
using StageView.Wire.Universes;

namespace StageView.Show.Tests.Refocus;

/// <summary>A rig, a venue and a show in a folder that goes away.</summary>
internal sealed class SmallVenue : IDisposable
{
    private readonly TempFolder _folder = new();

    /// <param name="body">Keys of the rig file beside its name, profiles and haze.</param>
    /// <param name="venue">Keys of the venue file beside its name.</param>
    public SmallVenue(string body, string venue)
    {
        var rig = _folder.File("a.rig.jsonc",
            $$"""{ "name": "Small", "profiles": ["{{Repo.File("assets", "fixtures")}}"], "haze": { "extinction": 0 }, {{body}} }""");
        var there = _folder.File("b.venue.jsonc", $$"""{ "name": "There", {{venue}} }""");
        (Before, After) = (RigFiles.Open(rig), RigFiles.Open(rig, there));
    }

    public RigScene Before { get; }

    public RigScene After { get; }

    public void Dispose() => _folder.Dispose();

    /// <summary>The answer for one look.</summary>
    public RefocusAnswer Look(string entries) => Cues(3, $$"""{ "time": 0, "set": [{{entries}}] }""");

    /// <summary>The answer for a show.</summary>
    public RefocusAnswer Cues(double seconds, string cues)
    {
        var capture = _folder.File("show.pcapng");
        using (var stream = File.Create(capture))
        {
            CueCapture.Write(CueCapture.Open(Before, _folder.File("show.cues.jsonc", FormattableString.Invariant(
                $"{{ \"length\": {seconds}, \"cues\": [{cues}] }}"))), stream);
        }

        using var a = new CaptureShow(Before, capture);
        using var b = new CaptureShow(After, capture);
        return RefocusRun.Answer(a, b, []);
    }

    /// <summary>A look in the venue.</summary>
    public Moment There(string text)
    {
        using var look = new LookShow(After, _folder.File("there.look.jsonc", text));
        Assert.Null(look.Problem);
        return look.Stage.MomentAt(TimeSpan.Zero);
    }

    /// <summary>A look in the old venue.</summary>
    public Moment Here(string entries)
    {
        using var look = new LookShow(Before, _folder.File("here.look.jsonc", $$"""{ "set": [{{entries}}] }"""));
        return look.Stage.MomentAt(TimeSpan.Zero);
    }

    /// <summary>Where the only beam of a moment that met so many mirrors lands, as <c>bounces</c> tells it.</summary>
    public static Vector3 Lands(Moment moment, int mirrors) =>
        Assert.Single(BouncesQuestion.Answer(moment, null, false).Beams, b => b.Mirrors.Length == mirrors).Landing!.Value.Point;

    /// <summary>A stage that hears the raw levels of positions at their addresses.</summary>
    public static StageModel Decoded(RigScene rig, IEnumerable<AimChannel> channels)
    {
        var universes = new SortedDictionary<int, byte[]>();
        foreach (var channel in channels)
        {
            var addresses = channel.Addresses.Split('/');
            for (var i = 0; i < addresses.Length; i++)
            {
                var at = addresses[i].Split('.').Select(int.Parse).ToArray();
                var levels = universes.TryGetValue(at[0], out var known) ? known : universes[at[0]] = new byte[512];
                levels[at[1] - 1] = (byte)(channel.Value >> (8 * (addresses.Length - 1 - i)));
            }
        }

        var stage = new StageModel(rig);
        foreach (var (number, levels) in universes)
        {
            stage.OnLevels(new UniverseNumber(number), TimeSpan.Zero, levels);
        }

        return stage;
    }

    /// <summary>What an axis stands at, degrees.</summary>
    public static double Axis(StageModel stage, FixtureIndex fixture, string attribute) =>
        stage.StateOf(fixture, TimeSpan.Zero).Attributes.First(a => a.Attribute == attribute).Now;
}

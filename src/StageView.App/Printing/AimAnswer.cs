using System.Numerics;
using System.Text;
using System.Text.Json;
using StageView.Show;
using StageView.Show.Questions;
using StageView.Show.Rigs;
using StageView.Show.Sources;
using StageView.Stage.Levels;
using StageView.Stage.Looks;
using static StageView.Show.Questions.Texts;

namespace StageView.App.Printing;

/// <summary>What an aim asked for, as written.</summary>
internal sealed record AimAsked(string Rig, string Fixtures, IReadOnlyList<string> At, string? To, IReadOnlyList<string> Via, string? Look, string? Venue);

/// <summary>The aim of one or more fixtures, as told to people and programs.</summary>
internal sealed class AimAnswer
{
    private readonly List<AimResult> _results;

    private AimAnswer(List<AimResult> results) => _results = results;

    public IReadOnlyList<AimResult> Results => _results;

    public bool Any => _results.Any(r => r.Solutions.Count > 0);

    public bool All => _results.TrueForAll(r => r.Solutions.Count > 0);

    public static AimAnswer Of(AimAsked asked)
    {
        var rig = RigFiles.Open(asked.Rig, asked.Venue, tell: Tell.Note);
        if (!FixtureSelection.TryFind(rig, asked.Fixtures, out var fixtures, out var why))
        {
            throw StopException.Wrong($"--fixture {asked.Fixtures}: {why}");
        }

        var points = asked.At.Select(p => ToPoint("--at", p)).ToArray();
        if (asked.To is not null && points.Length > 1)
        {
            throw StopException.Wrong("--to spreads from one --at; with several --at the fixtures take them in turn: use one or the other");
        }

        Vector3? end = asked.To is { } t ? ToPoint("--to", t) : null;
        var solver = new AimSolver(rig, asked.Look is { } look ? LookShow.Read(rig, look) : new LevelsEncoder(rig));
        var results = new List<AimResult>();
        for (var i = 0; i < fixtures.Count; i++)
        {
            var target = end is { } e
                ? Vector3.Lerp(points[0], e, fixtures.Count < 2 ? 0.5f : (float)i / (fixtures.Count - 1))
                : points[i % points.Length];
            results.Add(solver.Solve(fixtures[i], target, asked.Via));
        }

        return new AimAnswer(results);
    }

    public void WriteLook(string file)
    {
        var text = new StringBuilder("{\n  \"set\": [\n");
        var entries = _results.Where(r => r.Solutions.Count > 0)
            .SelectMany(r => new[] { (r.Fixture.Name, r.Solutions[0].Pan, r.Solutions[0].Tilt) }
                .Concat(r.Turned.Select(t => (t.Fixture.Name, t.Pan, t.Tilt))))
            .Select(e => $"    {{ \"fixtures\": {JsonSerializer.Serialize(e.Item1)}, \"pan\": {F(e.Item2, "0.####")}, \"tilt\": {F(e.Item3, "0.####")} }}");
        text.AppendJoin(",\n", entries).Append("\n  ]\n}\n");
        File.WriteAllText(file, text.ToString());
        Console.Error.WriteLine("stageview: wrote " + file);
    }

    public void Print(bool json)
    {
        if (json)
        {
            Answers.WriteJson(new
            {
                fixtures = _results.Select(r => new
                {
                    fixture = r.Fixture.Name,
                    target = Array(r.Target),
                    refused = r.Why.Length > 0 ? r.Why : null,
                    solutions = r.Solutions,
                    turned = r.Turned.Select(t => new { fixture = t.Fixture.Name, t.Pan, t.Tilt, t.Channels }),
                }),
            });
            return;
        }

        var rows = new List<string[]>();
        foreach (var r in _results)
        {
            for (var i = 0; i < r.Solutions.Count; i++)
            {
                var s = r.Solutions[i];
                rows.Add(
                [
                    r.Fixture.Name, Point(r.Target), s.Mirrors.Length == 0 ? "straight" : string.Join(" > ", s.Mirrors), F(s.Pan, "0.00"), F(s.Tilt, "0.00"),
                    Values(s.Channels), F(s.MoveDegrees, "0.0") + (i == 0 ? " shortest" : ""),
                    F(100 * s.Arriving, "0") + " %", F(s.Lux, "0"), F(1000 * s.MissMetres, "0.0"),
                ]);
            }
        }

        if (rows.Count > 0)
        {
            Answers.Table(["fixture", "target", "by way of", "pan", "tilt", "DMX", "move", "arrives", "lx at full", "off mm"], rows);
            Console.WriteLine("lx at full: there, on a plane that faces the light, with nothing in its way; a surface that the beam meets aslant gets less");
        }

        foreach (var r in _results)
        {
            foreach (var t in r.Turned)
            {
                Console.WriteLine($"{t.Fixture.Name} turned for {r.Fixture.Name}: pan {F(t.Pan, "0.00")}, tilt {F(t.Tilt, "0.00")}, {Values(t.Channels)}");
            }

            if (r.Why.Length > 0)
            {
                Console.WriteLine($"{r.Fixture.Name}: can't light {Point(r.Target)}: {r.Why}");
            }
        }

        Console.WriteLine("Look where beams go before they go there: nobody on or in front of the mirrors, no light into eyes.");
    }

    private static string Values(IReadOnlyList<AimChannel> channels) => string.Join("  ", channels.Select(c => $"{c.Attribute} {c.Addresses} = {Bytes(c)}"));

    private static string Bytes(AimChannel c) =>
        c.Highest <= 255 ? $"{c.Value}" : c.Highest <= 65535 ? $"{c.Value >> 8}/{c.Value & 255}" : $"{c.Value >> 16}/{(c.Value >> 8) & 255}/{c.Value & 255}";
}

using System.Text;
using System.Text.Json;
using StageView.Ground.Files;
using StageView.Show.Questions;
using static StageView.Show.Questions.Texts;

namespace StageView.App.Printing;

/// <summary>How aims are told to people and programs.</summary>
internal static class AimPrint
{
    /// <summary>Writes the solutions with the shortest moves as a look file, and says so.</summary>
    public static void WriteLook(AimAnswer answer, string file)
    {
        var text = new StringBuilder("{\n  \"set\": [\n");
        var entries = answer.Results.Where(r => r.Solutions.Count > 0)
            .SelectMany(r => new[] { (r.Fixture.Name, r.Solutions[0].Pan, r.Solutions[0].Tilt) }
                .Concat(r.Turned.Select(t => (t.Fixture.Name, t.Pan, t.Tilt))))
            .Select(e => $"    {{ \"fixtures\": {JsonSerializer.Serialize(e.Item1)}, \"pan\": {F(e.Item2, "0.####")}, \"tilt\": {F(e.Item3, "0.####")} }}");
        text.AppendJoin(",\n", entries).Append("\n  ]\n}\n");
        WholeFile.WriteText(file, text.ToString());
        Console.Error.WriteLine("stageview: wrote " + file);
    }

    public static void Print(AimAnswer answer, bool json)
    {
        if (json)
        {
            Answers.WriteJson(new
            {
                fixtures = answer.Results.Select(r => new
                {
                    fixture = r.Fixture.Name,
                    target = Array(r.Target),
                    refused = r.Why.Length > 0 ? r.Why : null,
                    solutions = r.Solutions,
                    turned = r.Turned.Select(t => new { fixture = t.Fixture.Name, t.Pan, t.Tilt, t.Channels }),
                }),
                caution = EyeCaution.Text,
            });
            return;
        }

        var rows = new List<string[]>();
        foreach (var r in answer.Results)
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

        foreach (var r in answer.Results)
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

        Console.WriteLine(EyeCaution.Text);
    }

    private static string Values(IReadOnlyList<AimChannel> channels) => string.Join("  ", channels.Select(c => $"{c.Attribute} {c.Addresses} = {Bytes(c)}"));

    private static string Bytes(AimChannel c) =>
        c.Highest <= 255 ? $"{c.Value}" : c.Highest <= 65535 ? $"{c.Value >> 8}/{c.Value & 255}" : $"{c.Value >> 16}/{(c.Value >> 8) & 255}/{c.Value & 255}";
}

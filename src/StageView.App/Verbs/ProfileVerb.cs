using System.CommandLine;
using StageView.App.Asking;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Ground.Files;
using StageView.Rig.Sheets;
using StageView.Show;
using StageView.Show.Rigs;

namespace StageView.App.Verbs;

/// <summary><c>stageview profile FILE</c>: a fixture profile from a data sheet.</summary>
internal static class ProfileVerb
{
    private const string Ending = ".fixture.jsonc";

    public static Command Build()
    {
        var file = new Argument<string>("FILE") { Description = "The profile to write; .fixture.jsonc is added where it is missing." };
        var name = new Option<string?>("--name") { Description = "The fixture's name; the file's when left out.", HelpName = "NAME" };
        var sheet = new Option<string>("--sheet")
        {
            Description = "What the values are from, for the comments. A value may name its own place behind an @: \"12000 @ p. 3\".",
            HelpName = "TEXT",
            DefaultValueFactory = _ => "data sheet",
        };
        var ask = new Option<bool>("--ask") { Description = "Ask for what no option says; so at a terminal when no value is given." };
        var answers = SheetQuestion.All.ToDictionary(q => q, q => new Option<string?>("--" + q.Key)
        {
            Description = $"{q.Ask}.{(q.Else.Length > 0 ? $" Left out: {q.Else}." : "")}",
            HelpName = q.Example.Contains(',', StringComparison.Ordinal) ? "LIST" : "VALUE",
        });
        var command = new Command("profile",
            "Writes a fixture profile from a data sheet, with where each value is from in its comments, and checks it. Asks for the values when run at a "
            + "terminal without any.") { file, name, sheet, ask };
        foreach (var option in answers.Values)
        {
            command.Options.Add(option);
        }

        return command.Does(parse =>
        {
            var reader = new SheetReader(parse.GetValue(sheet)!);
            var given = answers.Where(a => parse.GetValue(a.Value) is { Length: > 0 }).ToDictionary(a => a.Key.Key, a => parse.GetValue(a.Value)!);
            foreach (var q in SheetQuestion.All.Where(q => given.ContainsKey(q.Key)))
            {
                if (!reader.TryAnswer(q.Key, given[q.Key], out var why))
                {
                    throw StopException.Wrong($"--{q.Key}: {why}");
                }
            }

            if (parse.GetValue(ask) || (given.Count == 0 && !Console.IsInputRedirected && !Console.IsOutputRedirected))
            {
                new SheetInterview(Console.In, Console.Out).Ask(reader, given.ContainsKey);
            }

            return Write(reader, parse.GetValue(file)!, parse.GetValue(name));
        });
    }

    private static int Write(SheetReader reader, string file, string? name)
    {
        var path = file.EndsWith(Ending, StringComparison.OrdinalIgnoreCase) ? file : file + Ending;
        if (File.Exists(path))
        {
            throw StopException.Wrong($"{path} is there already: name another file, so that nothing of yours is written over");
        }

        var sheet = reader.Read(name ?? Path.GetFileName(path)[..^Ending.Length], out var why) ?? throw StopException.Wrong(why);
        var folder = Path.GetDirectoryName(Path.GetFullPath(path))!;
        Directory.CreateDirectory(folder);
        WholeFile.WriteText(path, SheetWriter.Write(sheet, Beside(sheet, folder)));
        Console.WriteLine(path);
        var problems = FileCheck.Check(path, null, out var summary, out _);
        CheckPrint.Print(problems, summary);
        Console.WriteLine("look through its comments: what is assumed is marked so");
        return summary is null ? Exit.No : Exit.Fine;
    }

    /// <summary>The photometric file's name beside the profile; it is copied there where it lies elsewhere.</summary>
    private static string Beside(DataSheet sheet, string folder)
    {
        if (sheet.Photometry is not { } photometry)
        {
            return "";
        }

        var name = Path.GetFileName(photometry.Value);
        var to = Slashes.Join(folder, name);
        if (!File.Exists(to))
        {
            File.Copy(photometry.Value, to);
            Console.WriteLine($"{to} (a copy)");
        }
        else if (Path.GetFullPath(to) != Path.GetFullPath(photometry.Value)
            && !File.ReadAllBytes(to).AsSpan().SequenceEqual(File.ReadAllBytes(photometry.Value)))
        {
            throw StopException.Wrong($"--photometry: another file {name} lies beside the profile already");
        }

        return name;
    }
}

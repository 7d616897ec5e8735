using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Show;
using StageView.Show.Questions;
using StageView.Show.Rigs;
using StageView.Show.Sources;
using StageView.Stage.Looks;
using StageView.Stage.Programs;

namespace StageView.App.Verbs;

/// <summary><c>stageview levels RIG [LOOK]</c>: the DMX that a look needs, or that a capture holds at a time and who sends it.</summary>
internal static class LevelsVerb
{
    public static Command Build()
    {
        var rig = Verb.RigArgument();
        var venue = Verb.VenueOption();
        var look = new Argument<string?>("LOOK")
        {
            Description = "A look file: fixtures and what they shall do, in physical units.", Arity = ArgumentArity.ZeroOrOne,
        };
        var capture = new Option<string?>("--capture")
        {
            Description = "A capture file with the console's sACN and Art-Net instead of a look.", HelpName = "FILE",
        };
        var seek = Verb.SeekOption();
        var at = new Option<string?>("--at") { Description = "When: " + ShowTime.Help + ". Without it: the end.", HelpName = "TIME" };
        var only = new Option<string?>("--fixtures")
        {
            Description = "Only these: names, numbers, ranges of numbers and groups, with commas.", HelpName = "WHICH",
        };
        var json = Verb.JsonOption();
        var command = new Command("levels", "Prints the DMX levels that a look needs, or that a capture holds and who sends them, fixture by fixture.")
        {
            rig, look, venue, capture, seek, at, only, json,
        };
        return command.Does(parse =>
        {
            var scene = RigFiles.Open(parse.GetValue(rig)!, parse.GetValue(venue), tell: Tell.Note);
            var (lookFile, captureFile) = (parse.GetValue(look), parse.GetValue(capture));
            if (lookFile is null == captureFile is null)
            {
                throw StopException.Wrong("levels come from a look or a capture: name a look file, or a capture with --capture");
            }

            using var show = SourceChoice.Open(scene, captureFile, null, lookFile, parse.GetValue(seek));
            if (lookFile is not null && show.Problem is { } cannot)
            {
                Tell.Note(cannot);
            }

            var which = scene.Fixtures;
            if (parse.GetValue(only) is { } text && !FixtureSelection.TryFind(scene, text, out which, out var why))
            {
                throw StopException.Wrong("--fixtures: " + why);
            }

            var states = LevelsQuestion.Answer(show, which, parse.GetValue(at) is { } t ? show.Times([t])[0].Time : null);
            var ends = captureFile is not null && Tell.Doubts(show) ? Exit.WrongQuestion : Exit.Fine;
            if (parse.GetValue(json))
            {
                Answers.WriteJson(states.Select(s => new
                {
                    name = s.Fixture.Name,
                    number = s.Fixture.Number,
                    channels = s.State.Attributes.Zip(s.Drives,
                        (a, drive) => new
                        {
                            a.Channel, addresses = a.Addresses.Select(x => x.ToString()), bytes = LevelsQuestion.Bytes(a), a.Attribute, value = a.Target,
                            a.Unit, a.Set, sources = DrivePrint.Plain(drive), fought = drive.IsFought, split = drive.IsSplit,
                        }),
                    pixels = s.Pixels.Select(p => new
                    {
                        p.Geometry, first = p.First + 1, last = p.First + p.Count, from = p.From.ToString(), to = p.To.ToString(), p.Order, bytes = p.Bytes,
                    }),
                }));
                return ends;
            }

            var heads = new[] { "fixture", "number", "channel", "address", "level", "value" };
            Answers.Table(
                captureFile is null ? heads : [.. heads, "from"],
                states.SelectMany(s => s.State.Attributes.Zip(s.Drives).Where(c => c.First.Addresses.Count > 0).Select(c =>
                {
                    var (a, drive) = c;
                    string[] row =
                    [
                        s.Fixture.Name, s.Fixture.Number.Length == 0 ? "·" : s.Fixture.Number, a.Channel, a.Addresses[0].ToString(),
                        string.Join(' ', LevelsQuestion.Bytes(a)), a.Set.Length > 0 ? a.Set : AttributeNames.Describe(a.Target, a.Unit),
                    ];
                    return captureFile is null ? row : [.. row, DrivePrint.Short(drive)];
                }).Concat(s.Pixels.Select(p =>
                {
                    string[] row =
                    [
                        s.Fixture.Name, s.Fixture.Number.Length == 0 ? "·" : s.Fixture.Number,
                        p.Count == 1 ? $"{p.Geometry} pixel {p.First + 1}" : $"{p.Geometry} pixels {p.First + 1}-{p.First + p.Count}", $"{p.From}-{p.To}",
                        string.Join(' ', p.Bytes), p.Order,
                    ];
                    return captureFile is null ? row : [.. row, ""];
                }))));
            return ends;
        });
    }
}

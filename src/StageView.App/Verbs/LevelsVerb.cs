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

/// <summary><c>stageview levels RIG LOOK</c>: the DMX that a look needs.</summary>
internal static class LevelsVerb
{
    public static Command Build()
    {
        var rig = Verb.RigArgument();
        var venue = Verb.VenueOption();
        var look = new Argument<string>("LOOK") { Description = "A look file: fixtures and what they shall do, in physical units." };
        var only = new Option<string?>("--fixtures")
        {
            Description = "Only these: names, numbers, ranges of numbers and groups, with commas.", HelpName = "WHICH",
        };
        var json = Verb.JsonOption();
        var command = new Command("levels", "Prints the DMX levels that a look needs, fixture by fixture.") { rig, look, venue, only, json };
        return command.Does(parse =>
        {
            var scene = RigFiles.Open(parse.GetValue(rig)!, parse.GetValue(venue), tell: Tell.Note);
            using var show = new LookShow(scene, parse.GetValue(look)!);
            if (show.Problem is { } cannot)
            {
                Tell.Note(cannot);
            }

            var which = scene.Fixtures;
            if (parse.GetValue(only) is { } text && !FixtureSelection.TryFind(scene, text, out which, out var why))
            {
                throw StopException.Wrong("--fixtures: " + why);
            }

            var states = LevelsQuestion.Answer(show, which);
            if (parse.GetValue(json))
            {
                Answers.WriteJson(states.Select(s => new
                {
                    name = s.Fixture.Name,
                    number = s.Fixture.Number,
                    channels = s.State.Attributes.Select(
                        a => new
                        {
                            a.Channel, addresses = a.Addresses.Select(x => x.ToString()), bytes = LevelsQuestion.Bytes(a), a.Attribute, value = a.Target,
                            a.Unit, a.Set
                        }),
                    pixels = s.Pixels.Select(p => new
                    {
                        p.Geometry, first = p.First + 1, last = p.First + p.Count, from = p.From.ToString(), to = p.To.ToString(), p.Order, bytes = p.Bytes,
                    }),
                }));
                return Exit.Fine;
            }

            Answers.Table(
                ["fixture", "number", "channel", "address", "level", "value"],
                states.SelectMany(s => s.State.Attributes.Where(a => a.Addresses.Count > 0).Select(a => (string[])
                [
                    s.Fixture.Name, s.Fixture.Number.Length == 0 ? "·" : s.Fixture.Number, a.Channel, a.Addresses[0].ToString(),
                    string.Join(' ', LevelsQuestion.Bytes(a)), a.Set.Length > 0 ? a.Set : AttributeNames.Describe(a.Target, a.Unit),
                ]).Concat(s.Pixels.Select(p => (string[])
                [
                    s.Fixture.Name, s.Fixture.Number.Length == 0 ? "·" : s.Fixture.Number,
                    p.Count == 1 ? $"{p.Geometry} pixel {p.First + 1}" : $"{p.Geometry} pixels {p.First + 1}-{p.First + p.Count}", $"{p.From}-{p.To}",
                    string.Join(' ', p.Bytes), p.Order,
                ]))));
            return Exit.Fine;
        });
    }
}

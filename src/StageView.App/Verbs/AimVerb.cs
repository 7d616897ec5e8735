using System.CommandLine;
using System.Numerics;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Show;
using StageView.Show.Questions;
using StageView.Show.Rigs;
using StageView.Show.Sources;
using StageView.Stage.Levels;

namespace StageView.App.Verbs;

/// <summary><c>stageview aim RIG</c>: pan and tilt that put light on a point.</summary>
internal static class AimVerb
{
    public static Command Build()
    {
        var rig = Verb.RigArgument();
        var venue = Verb.VenueOption();
        var fixture = new Option<string>("--fixture")
        {
            Description = "Which fixtures: names, numbers, groups or ranges.", HelpName = "FIXTURES", Required = true,
        };
        var at = new Option<string[]>("--at")
        {
            Description = "The point to light, metres, or the name of a focus point; of several the fixtures take one in turn.",
            HelpName = "X,Y,Z", Required = true,
        };
        var to = new Option<string?>("--to") { Description = "Spread the fixtures along the line from --at to here.", HelpName = "X,Y,Z" };
        var via = new Option<string[]>("--via")
        {
            Description =
                "By way of the mirrors whose names begin so; several in the order the light meets them, four at most. A mirror on a moving fixture is turned, "
                + "and each serves one beam.",
            HelpName = "MIRROR",
        };
        var look = new Option<string?>("--look") { Description = "How everything stands before: a look file.", HelpName = "FILE" };
        var output = new Option<string?>("--out") { Description = "Write the solutions with the shortest moves as a look file.", HelpName = "FILE" };
        var json = Verb.JsonOption();
        var command = new Command("aim",
            "Solves pan and tilt that put light on a point, straight or by way of mirrors, or says why that can't be.") { rig, venue, fixture, at, to, via,
            look, output, json };
        return command.Does(parse =>
        {
            var scene = RigFiles.Open(parse.GetValue(rig)!, parse.GetValue(venue), tell: Tell.Note);
            var fixtures = Verb.Fixtures(scene, "--fixture", parse.GetValue(fixture)!);
            var points = parse.GetValue(at)!.Select(p => Texts.ToPoint(scene, "--at", p)).ToArray();
            if (parse.GetValue(to) is not null && points.Length > 1)
            {
                throw StopException.Wrong("--to spreads from one --at; with several --at the fixtures take them in turn: use one or the other");
            }

            Vector3? end = parse.GetValue(to) is { } t ? Texts.ToPoint(scene, "--to", t) : null;
            var levels = parse.GetValue(look) is { } file ? LookShow.Read(scene, file, out _) : new LevelsEncoder(scene);
            var answer = AimQuestion.Answer(scene, levels, new AimAsked(fixtures, points, end, parse.GetValue(via) ?? []));
            if (parse.GetValue(output) is { } written)
            {
                if (answer.Any)
                {
                    AimPrint.WriteLook(answer, written);
                }
                else
                {
                    Console.Error.WriteLine($"stageview: {written} is not written: no fixture can light its point");
                }
            }

            AimPrint.Print(answer, parse.GetValue(json));
            return answer.All ? Exit.Fine : Exit.No;
        });
    }
}

using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;

namespace StageView.App.Verbs;

/// <summary><c>stageview aim RIG</c>: pan and tilt that put light on a point.</summary>
internal static class AimVerb
{
    public static Command Build()
    {
        var rig = Verb.RigArgument();
        var venue = Verb.VenueOption();
        var fixture = new Option<string>("--fixture") { Description = "Which fixtures: names, numbers, groups or ranges.", HelpName = "FIXTURES", Required = true };
        var at = new Option<string[]>("--at") { Description = "The point to light, metres; of several the fixtures take one in turn.", HelpName = "X,Y,Z", Required = true };
        var to = new Option<string?>("--to") { Description = "Spread the fixtures along the line from --at to here.", HelpName = "X,Y,Z" };
        var via = new Option<string[]>("--via") { Description = "By way of the mirrors whose names begin so; several in the order the light meets them, four at most. A mirror on a moving fixture is turned, and each serves one beam.", HelpName = "MIRROR" };
        var look = new Option<string?>("--look") { Description = "How everything stands before: a look file.", HelpName = "FILE" };
        var output = new Option<string?>("--out") { Description = "Write the solutions with the shortest moves as a look file.", HelpName = "FILE" };
        var json = Verb.JsonOption();
        var command = new Command("aim", "Solves pan and tilt that put light on a point, straight or by way of mirrors, or says why that can't be.") { rig, venue, fixture, at, to, via, look, output, json };
        return command.Does(parse =>
        {
            var asked = new AimAsked(
                parse.GetValue(rig)!, parse.GetValue(fixture)!, parse.GetValue(at)!, parse.GetValue(to), parse.GetValue(via) ?? [], parse.GetValue(look), parse.GetValue(venue));
            var answer = AimAnswer.Of(asked);
            if (parse.GetValue(output) is { } file)
            {
                if (answer.Any)
                {
                    answer.WriteLook(file);
                }
                else
                {
                    Console.Error.WriteLine($"stageview: {file} is not written: no fixture can light its point");
                }
            }

            answer.Print(parse.GetValue(json));
            return answer.All ? Exit.Fine : Exit.No;
        });
    }
}

using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Show.Questions;

namespace StageView.App.Verbs;

/// <summary><c>stageview audit RIG</c>: does all the light that leaves the fixtures arrive somewhere?</summary>
internal static class AuditVerb
{
    public static Command Build()
    {
        var light = new LightOptions();
        var command = light.Command("audit",
            "Adds up where the flux of each fixture goes: landed, off mirrors, absorbed, in haze, out of the room. Answers no (1) when more than 0.5 % is "
            + "unaccounted for.");
        var indirect = Verb.IndirectOption("Follow what matt surfaces throw on each other: on (when left out) or off.");
        command.Add(indirect);
        return command.Does(parse =>
        {
            var matt = Verb.IsIndirect(parse.GetValue(indirect), true);
            using var question = light.Open(parse);
            var rig = question.Rig;
            var answer = AuditQuestion.Answer(question.Moment(Tell.Note), matt);
            if (parse.GetValue(light.Json))
            {
                Answers.WriteJson(new
                {
                    rig = rig.Name, fixtures = answer.Fixtures.Select(b => new { name = Texts.Fixture(rig, b.Fixture), balance = b }),
                    total = answer.Total, indirect = answer.Matt
                });
            }
            else
            {
                Answers.Table(
                    ["fixture", "out lm", "gobos, blades", "landed direct", "off mirrors", "in mirrors", "haze", "out of the room", "not followed",
                        "unaccounted"],
                    answer.Fixtures.Append(answer.Total).Select(b => (string[])
                    [
                        b.Fixture.IsNone ? "all" : Texts.Fixture(rig, b.Fixture), Texts.F(b.Out, "0"), Texts.F(b.Gobos, "0"), Texts.F(b.LandedDirect, "0"),
                        Texts.F(b.LandedReflected, "0"), Texts.F(b.Mirrors, "0"), Texts.F(b.Haze, "0"), Texts.F(b.Escaped, "0"), Texts.F(b.NotFollowed, "0"),
                        Texts.F(Math.Round(-100 * b.Error, 2) + 0.0, "0.00") + " %",
                    ]));
                Console.WriteLine(
                    "out: leaving lenses and surfaces, after dimmers and colours, before gobos and blades; a laser counts with the lumens of its lines");
                if (answer.Matt is { } m)
                {
                    Answers.Table(
                        ["between matt surfaces", "landed lm", "thrown back", "absorbed", "in mirrors", "haze", "out of the room", "unaccounted"],
                        [["all but lasers", Texts.F(m.Landed, "0"), Texts.F(m.ThrownBack, "0"), Texts.F(m.Absorbed, "0"), Texts.F(m.Mirrors, "0"),
                            Texts.F(m.Haze, "0"), Texts.F(m.Escaped, "0"), Texts.F(Math.Round(-100 * m.Error, 2) + 0.0, "0.00") + " %"]]);
                    if (m.Shone > 0)
                    {
                        Console.WriteLine($"of it {Texts.F(m.Shone, "0")} lm are thrown on by what shines, as by rough mirrors, and not followed");
                    }

                    Console.WriteLine("thrown back: by floors, walls and people, each time counted; --indirect off leaves it out");
                }
            }

            return question.Doubtful ? Exit.WrongQuestion : answer.AddsUp ? Exit.Fine : Exit.No;
        });
    }
}

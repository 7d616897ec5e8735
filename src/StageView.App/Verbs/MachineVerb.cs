using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Live.Server;
using StageView.Show.Machine;
using StageView.Wire.ArtNet;
using StageView.Wire.E131;

namespace StageView.App.Verbs;

/// <summary><c>stageview machine</c>: what is found of the machine.</summary>
internal static class MachineVerb
{
    public static Command Build()
    {
        var json = Verb.JsonOption();
        var command = new Command("machine",
            "Says what StageView finds of this machine: what draws, screens, ffmpeg, network, ports, folders; and what to do where something is missing.")
        {
            json,
        };
        return command.Does(parse =>
        {
            var facts = MachineQuestion.Ask(LiveServerOptions.UsualPort, [("sACN", E131Numbers.Port), ("Art-Net", ArtNetNumbers.Port)]);
            if (parse.GetValue(json))
            {
                Answers.WriteJson(facts);
            }
            else
            {
                var wide = facts.Max(f => f.What.Length);
                foreach (var fact in facts)
                {
                    Console.WriteLine($"{fact.What.PadRight(wide)}  {fact.Found}");
                    if (fact.Do is not null)
                    {
                        Console.WriteLine($"{new string(' ', wide)}  -> {fact.Do}");
                    }
                }
            }

            return Exit.Fine;
        });
    }
}

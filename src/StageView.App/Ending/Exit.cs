namespace StageView.App.Ending;

/// <summary>Exit codes of the command.</summary>
internal static class Exit
{
    /// <summary>Fine.</summary>
    public const int Fine = 0;

    /// <summary>The answer is "no": a difference, a conflict, a finding.</summary>
    public const int No = 1;

    /// <summary>The question was wrong: usage, an unreadable file.</summary>
    public const int WrongQuestion = 2;

    /// <summary>The machine cannot: no OpenGL, a port in use.</summary>
    public const int MachineCannot = 3;

    /// <summary>A fault of ours: what was asked may be right, and the machine able (EX_SOFTWARE of BSD's sysexits.h).</summary>
    public const int OurFault = 70;
}

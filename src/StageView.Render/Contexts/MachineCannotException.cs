namespace StageView.Render.Contexts;

/// <summary>The machine lacks what a picture needs; the message says what to install. The command ends with exit code 3.</summary>
public class MachineCannotException : Exception
{
    public MachineCannotException(string message)
        : base(message)
    {
    }

    private protected MachineCannotException(string message, Exception? inner)
        : base(message, inner)
    {
    }
}
